//! The version that a file or a report begins with.

use serde::{Deserialize, Serialize};

/// A version of a format: 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
#[serde(try_from = "i64")]
pub struct Version(#[cfg_attr(feature = "schemas", schemars(range(min = 1, max = 1)))] u32);

/// The version that is read and written.
pub const VERSION: Version = Version(1);

impl TryFrom<i64> for Version {
    type Error = String;

    fn try_from(found: i64) -> Result<Self, String> {
        if found == i64::from(VERSION.0) {
            Ok(VERSION)
        } else {
            Err(format!(
                "it is {found}; this program reads version {}",
                VERSION.0
            ))
        }
    }
}
