//! What was worked out last, kept so that the same question is not worked out twice.

use std::sync::{Arc, Mutex, PoisonError};

/// The last few answers by their questions, the newest last.
pub(super) struct Recent<K, V> {
    most: usize,
    kept: Mutex<Vec<(K, Arc<V>)>>,
}

impl<K: PartialEq, V> Recent<K, V> {
    pub(super) const fn new(most: usize) -> Self {
        Self {
            most,
            kept: Mutex::new(Vec::new()),
        }
    }

    /// The answer kept for a question; it becomes the newest.
    pub(super) fn get(&self, question: &K) -> Option<Arc<V>> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let at = kept.iter().position(|(known, _)| known == question)?;
        let found = kept.remove(at);
        let answer = Arc::clone(&found.1);
        kept.push(found);
        Some(answer)
    }

    /// Keeps an answer, and lets the oldest go when there are too many.
    pub(super) fn put(&self, question: K, answer: Arc<V>) {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.retain(|(known, _)| *known != question);
        kept.push((question, answer));
        let surplus = kept.len().saturating_sub(self.most);
        kept.drain(..surplus);
    }

    /// The answer kept, else the one that `make` gives, which is then kept.
    pub(super) fn get_or<E>(
        &self,
        question: K,
        make: impl FnOnce() -> Result<V, E>,
    ) -> Result<Arc<V>, E> {
        if let Some(known) = self.get(&question) {
            return Ok(known);
        }
        let made = Arc::new(make()?);
        self.put(question, Arc::clone(&made));
        Ok(made)
    }
}

#[cfg(test)]
mod tests {
    use super::Recent;
    use std::sync::Arc;

    #[test]
    fn the_oldest_goes_first_and_a_use_makes_new() {
        let recent = Recent::new(2);
        recent.put(1, Arc::new("one"));
        recent.put(2, Arc::new("two"));
        assert_eq!(recent.get(&1).as_deref(), Some(&"one"));
        recent.put(3, Arc::new("three"));
        assert!(recent.get(&2).is_none());
        assert!(recent.get(&1).is_some() && recent.get(&3).is_some());
        let made: Result<_, ()> = recent.get_or(3, || Ok("again"));
        assert_eq!(made.as_deref(), Ok(&"three"));
    }
}
