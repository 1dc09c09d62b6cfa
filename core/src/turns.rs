//! Long computing in turns: it stops for a moment between two pieces of work, so that a page that
//! asks for it can answer a touch meanwhile.

use std::future::Future;
use std::pin::pin;
use std::task::{Context, Poll, Waker};

/// Where long computing stops for a moment.
pub trait Turns {
    /// Called between two pieces of work, of which the longest is some runs of a day; the next begins once this is
    /// ready. Who has no more use for what is computed drops the computing while it waits here.
    fn pause(&self) -> impl Future<Output = ()>;
}

/// No pause at all.
#[derive(Clone, Copy, Debug)]
pub struct NoPause;

impl Turns for NoPause {
    async fn pause(&self) {}
}

/// What computing without pauses comes to, worked out in one go.
pub fn at_once<T>(work: impl Future<Output = T>) -> T {
    let mut work = pin!(work);
    let mut context = Context::from_waker(Waker::noop());
    loop {
        if let Poll::Ready(found) = work.as_mut().poll(&mut context) {
            return found;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cell::Cell;
    use std::task::ready;

    /// Counts its pauses; each is ready at the second look.
    struct Counted(Cell<u32>);

    impl Turns for Counted {
        fn pause(&self) -> impl Future<Output = ()> {
            self.0.set(self.0.get() + 1);
            let mut looks = 0;
            std::future::poll_fn(move |_| {
                looks += 1;
                ready!(if looks < 2 {
                    Poll::Pending
                } else {
                    Poll::Ready(())
                });
                Poll::Ready(())
            })
        }
    }

    #[test]
    fn pauses_change_nothing_of_what_is_found() {
        async fn sum(turns: &impl Turns) -> u32 {
            let mut sum = 0;
            for number in 1..=4 {
                sum += number;
                turns.pause().await;
            }
            sum
        }
        let counted = Counted(Cell::new(0));
        assert_eq!(at_once(sum(&counted)), at_once(sum(&NoPause)));
        assert_eq!(counted.0.get(), 4);
    }
}
