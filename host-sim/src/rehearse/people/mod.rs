//! Who is here, and who drives.

use serde::Serialize;

/// Longest role, characters.
const ROLE_CHARS: usize = 16;

/// What somebody's key allows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Right {
    /// Looks, points and remarks.
    View,
    /// May drive, too.
    Drive,
}

/// Somebody's browser.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Person {
    /// Number of the connection; no two are the same.
    pub id: u64,
    /// What others call them: a role, never a name.
    pub role: String,
    /// What their key allows.
    pub right: Right,
}

/// Everybody who is connected.
#[derive(Clone, Debug, Default, Serialize)]
pub struct People {
    #[serde(skip)]
    last: u64,
    /// Who drives; nobody when that is `None`.
    driver: Option<u64>,
    people: Vec<Person>,
}

impl People {
    /// Somebody comes; the first who may drive does.
    pub fn come(&mut self, right: Right) -> u64 {
        self.last += 1;
        let role = match right {
            Right::Drive => format!("crew {}", self.last),
            Right::View => format!("viewer {}", self.last),
        };
        self.people.push(Person { id: self.last, role, right });
        if right == Right::Drive && self.driver.is_none() {
            self.driver = Some(self.last);
        }
        self.last
    }

    /// Somebody goes; who drove drives no longer.
    pub fn go(&mut self, id: u64) {
        self.people.retain(|person| person.id != id);
        if self.driver == Some(id) {
            self.driver = None;
        }
    }

    /// How many are connected.
    pub fn count(&self) -> usize {
        self.people.len()
    }

    /// What others call `id`.
    pub fn role(&self, id: u64) -> &str {
        self.person(id).map_or("somebody", |person| person.role.as_str())
    }

    /// Another role for `id`.
    ///
    /// # Errors
    /// Says what a role looks like.
    pub fn call(&mut self, id: u64, role: &str) -> Result<(), String> {
        let role = role.trim();
        let fits = !role.is_empty() && role.chars().count() <= ROLE_CHARS && !role.chars().any(char::is_control);
        if !fits {
            return Err(format!("a role has 1 to {ROLE_CHARS} characters, such as director"));
        }
        if self.people.iter().any(|p| p.id != id && p.role == role) {
            return Err(format!("somebody is \"{role}\" already: add a number or a place"));
        }
        self.people.iter_mut().filter(|p| p.id == id).for_each(|p| role.clone_into(&mut p.role));
        Ok(())
    }

    /// `id` wants to drive, or to drive no longer.
    ///
    /// # Errors
    /// Says why not.
    pub fn drive(&mut self, id: u64, take: bool) -> Result<(), String> {
        if !take {
            self.driver = self.driver.filter(|driver| *driver != id);
            return Ok(());
        }
        if self.person(id).is_none_or(|person| person.right == Right::View) {
            return Err("this page was opened to look only: ask for the driver's address".into());
        }
        match self.driver {
            Some(driver) if driver != id => Err(format!("{} drives: ask them to give it up", self.role(driver))),
            _ => {
                self.driver = Some(id);
                Ok(())
            }
        }
    }

    /// # Errors
    /// Says who drives, when it is not `id`.
    pub fn must_drive(&self, id: u64) -> Result<(), String> {
        match self.driver {
            Some(driver) if driver == id => Ok(()),
            Some(driver) => Err(format!("{} drives: ask them to give it up", self.role(driver))),
            None => Err("nobody drives: take it first".into()),
        }
    }

    fn person(&self, id: u64) -> Option<&Person> {
        self.people.iter().find(|person| person.id == id)
    }
}

#[cfg(test)]
mod tests {
    use super::{People, Right};

    #[test]
    fn one_drives_at_a_time_and_only_who_may() {
        let mut people = People::default();
        let viewer = people.come(Right::View);
        assert!(people.must_drive(viewer).is_err());
        assert!(people.drive(viewer, true).is_err());
        let (first, second) = (people.come(Right::Drive), people.come(Right::Drive));
        assert_eq!(people.must_drive(first), Ok(()));
        assert!(people.drive(second, true).is_err());
        // Who does not drive cannot give it up for another.
        assert_eq!(people.drive(second, false), Ok(()));
        assert_eq!(people.must_drive(first), Ok(()));
        people.go(first);
        assert!(people.must_drive(second).is_err());
        assert_eq!(people.drive(second, true), Ok(()));
        assert_eq!(people.must_drive(second), Ok(()));
    }

    #[test]
    fn roles_are_short_and_distinct() {
        let mut people = People::default();
        let (one, two) = (people.come(Right::View), people.come(Right::View));
        assert_eq!(people.call(one, " director "), Ok(()));
        assert_eq!(people.role(one), "director");
        for bad in ["", "  ", "director", "a role that is far too long", "a\u{7}b"] {
            assert!(people.call(two, bad).is_err(), "{bad}");
        }
    }
}
