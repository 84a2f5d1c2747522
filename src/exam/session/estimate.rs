//! Where balance lies: worked out beside the examination, since it can take longer than a window should wait.

use super::Session;
use crate::balance::Course;
use crate::balance::words::EstimateSaid;

impl Session {
    /// The eye whose questions are at their end while it is not known yet where its balance lies. Whoever can wait works it out
    /// ([`Course::estimate_in_words`]) and hands it back.
    #[must_use]
    pub fn to_estimate(&self) -> Option<Course> {
        let course = self.course().filter(|course| course.is_asked())?;
        self.estimate_of(course).is_none().then(|| course.clone())
    }

    /// Takes what was worked out of an eye. Where that eye was asked again meanwhile, it is not shown.
    pub fn estimated(&mut self, course: Course, said: EstimateSaid) {
        self.estimate = Some((course, said));
    }

    /// Where balance lies in an eye, if that was worked out from just these answers.
    pub(in crate::exam) fn estimate_of(&self, course: &Course) -> Option<&EstimateSaid> {
        let same = |of: &Course| {
            let all = |of: &Course| (of.start.clone(), of.asked.clone(), of.limits.clone(), of.left_in());
            all(of) == all(course)
        };
        self.estimate.as_ref().filter(|(of, _)| same(of)).map(|(_, said)| said)
    }
}
