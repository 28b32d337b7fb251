//! Round the allowed nodes: from one pair of neighbours that the border parts to the next.

use super::grid::{Bits, Node};

/// Two neighbouring nodes, the first allowed, the second not. The border goes through between them, the
/// allowed side on its left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Gate {
    pub(super) inside: Node,
    pub(super) outside: Node,
}

impl Gate {
    /// The gate between a node and its neighbour in the same row, if the border parts them.
    pub(super) fn in_row(bits: &Bits, node: Node) -> Option<Self> {
        let right = Node::new(node.x + 1, node.y);
        match (bits.get(node), bits.get(right)) {
            (true, false) => Some(Self { inside: node, outside: right }),
            (false, true) => Some(Self { inside: right, outside: node }),
            _ => None,
        }
    }

    /// The left node of a gate in a row: its key. `None` for gates in a column.
    pub(super) fn key(&self) -> Option<Node> {
        (self.inside.y == self.outside.y).then(|| Node::new(self.inside.x.min(self.outside.x), self.inside.y))
    }

    /// The next gate. Where allowed nodes touch at a corner only, they stay apart.
    pub(super) fn next(self, bits: &Bits) -> Self {
        let (dx, dy) = (self.outside.x - self.inside.x, self.outside.y - self.inside.y);
        // Travelling a quarter turn to the left of the way out.
        let ahead = |node: Node| Node::new(node.x - dy, node.y + dx);
        let (inside, outside) = (ahead(self.inside), ahead(self.outside));
        if !bits.get(inside) {
            Self { inside: self.inside, outside: inside }
        } else if !bits.get(outside) {
            Self { inside, outside }
        } else {
            Self { inside: outside, outside: self.outside }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn round_two_nodes_that_touch_at_a_corner_there_are_two_rings() {
        let mut bits = Bits::new();
        bits.set(Node::new(3, 3), true);
        bits.set(Node::new(4, 4), true);
        let first = Gate::in_row(&bits, Node::new(3, 3)).unwrap();
        let ring = |first: Gate| {
            let mut at = first;
            (1..20).find(|_| {
                at = at.next(&bits);
                at == first
            })
        };
        assert_eq!(ring(first), Some(4));
        assert_eq!(ring(Gate::in_row(&bits, Node::new(4, 4)).unwrap()), Some(4));
        assert_eq!(first.key(), Some(Node::new(3, 3)));
    }
}
