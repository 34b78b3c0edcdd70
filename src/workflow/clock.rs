//! The only clock: when a row of the log was written, and the date documents carry.

use time::OffsetDateTime;
use time::format_description::well_known::Rfc3339;
use time::macros::format_description;

/// Now, as the log writes it: RFC 3339, UTC, to the second.
pub(crate) fn now() -> String {
    OffsetDateTime::now_utc()
        .replace_nanosecond(0)
        .expect("zero is a nanosecond")
        .format(&Rfc3339)
        .expect("a year below 10 000")
}

/// The date documents carry, such as "2026-05-04". Where the environment variable
/// SOURCE_DATE_EPOCH is set (seconds since 1970), the day it names: then equal projects make equal
/// bytes (reproducible-builds.org, SOURCE_DATE_EPOCH specification).
///
/// # Errors
/// A sentence, where the variable is set and no such number of seconds.
pub fn issue_date() -> Result<String, String> {
    let moment = match std::env::var("SOURCE_DATE_EPOCH") {
        Ok(text) => text
            .trim()
            .parse()
            .ok()
            .and_then(|seconds| OffsetDateTime::from_unix_timestamp(seconds).ok())
            .filter(|moment| moment.year() >= 1970)
            .ok_or_else(|| {
                format!(
                    "SOURCE_DATE_EPOCH is {text:?}; set it to whole seconds since 1970, or unset it."
                )
            })?,
        Err(_) => OffsetDateTime::now_utc(),
    };
    Ok(moment
        .format(format_description!("[year]-[month]-[day]"))
        .expect("a date has year, month and day"))
}
