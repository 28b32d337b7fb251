//! How much somebody may ask in a time: short bursts are fine, floods are not.

use std::time::{Duration, Instant};

/// A bucket of permits that fills up by itself.
#[derive(Clone, Debug)]
pub struct Pace {
    permits: f64,
    most: f64,
    per_s: f64,
    last: Instant,
}

impl Pace {
    /// At most `burst` at once and `per_s` a second in the long run.
    pub fn new(burst: u32, per_s: u32, now: Instant) -> Self {
        Self { permits: burst.into(), most: burst.into(), per_s: per_s.into(), last: now }
    }

    /// Takes a permit; false when there is none.
    pub fn take(&mut self, now: Instant) -> bool {
        let passed = now.saturating_duration_since(self.last);
        self.last = self.last.max(now);
        self.permits = (self.permits + passed.as_secs_f64() * self.per_s).min(self.most);
        let has = self.permits >= 1.0;
        if has {
            self.permits -= 1.0;
        }
        has
    }

    /// Until there is a permit again.
    pub fn wait(&self) -> Duration {
        Duration::from_secs_f64((1.0 - self.permits).max(0.0) / self.per_s.max(1.0))
    }
}

#[cfg(test)]
mod tests {
    use std::time::{Duration, Instant};

    use super::Pace;

    #[test]
    fn a_burst_passes_and_a_flood_is_held_to_its_rate() {
        let start = Instant::now();
        let mut pace = Pace::new(10, 5, start);
        let passed = |pace: &mut Pace, at: Instant| (0..100).filter(|_| pace.take(at)).count();
        assert_eq!(passed(&mut pace, start), 10);
        assert_eq!(passed(&mut pace, start + Duration::from_secs(1)), 5);
        assert_eq!(passed(&mut pace, start + Duration::from_secs(60)), 10);
        // A clock that goes back gives nothing.
        assert_eq!(passed(&mut pace, start), 0);
        assert!(pace.wait() <= Duration::from_millis(200));
    }
}
