//! The forms that `evenfield schema` prints, to hold against what the program really says.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use jsonschema::Validator;
use serde_json::Value;

use super::Desk;

/// Each form is printed and read once.
static FORMS: Mutex<BTreeMap<String, Arc<Validator>>> = Mutex::new(BTreeMap::new());

/// A form by its name.
pub(crate) fn form(name: &str) -> Arc<Validator> {
    let mut forms = FORMS.lock().unwrap_or_else(PoisonError::into_inner);
    let read = || {
        let printed = Desk::new().run(&format!("schema {name}"));
        assert_eq!(printed.code, 0, "{}", printed.err);
        let schema: Value = serde_json::from_str(&printed.out).unwrap();
        assert_eq!(
            jsonschema::draft202012::meta::validate(&schema).map_err(|error| error.to_string()),
            Ok(())
        );
        Arc::new(jsonschema::draft202012::new(&schema).unwrap())
    };
    Arc::clone(forms.entry(name.into()).or_insert_with(read))
}

/// Stops where something that the program said, or takes, is refused by its form.
pub(crate) fn fits(name: &str, said: &Value) {
    let errors: Vec<String> = form(name).iter_errors(said).map(|error| error.to_string()).collect();
    assert!(errors.is_empty(), "{name}: {errors:?} in {said}");
}
