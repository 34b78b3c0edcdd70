//! The largest deviation a test saw, printed when the test has passed.

/// Figures held against others, within a tolerance.
pub struct Worst {
    what: &'static str,
    percent: f64,
    at: String,
    n_held: usize,
}

impl Worst {
    /// `what` is compared with what, in words.
    pub fn of(what: &'static str) -> Self {
        Worst {
            what,
            percent: 0.0,
            at: String::new(),
            n_held: 0,
        }
    }

    /// Within `tolerance` per cent of the expected figure, at what `at` names.
    #[track_caller]
    pub fn hold(&mut self, found: f64, expected: f64, tolerance: f64, at: &str) {
        let off = (found / expected - 1.0) * 100.0;
        assert!(
            off.abs() <= tolerance,
            "{}, {at}: {found} for {expected}, {off:+.4} %",
            self.what
        );
        self.n_held += 1;
        if off.abs() >= self.percent.abs() {
            (self.percent, self.at) = (off, at.to_owned());
        }
    }

    /// How many figures were held.
    pub fn n_held(&self) -> usize {
        self.n_held
    }
}

impl Drop for Worst {
    fn drop(&mut self) {
        if !std::thread::panicking() {
            let Worst {
                what,
                percent,
                at,
                n_held,
            } = self;
            println!("worst of {n_held}: {what}, {percent:+.4} % at {at}");
        }
    }
}
