//! Runs a decoder where its panic or its deep recursion cannot end the program.
//!
//! Nothing here measures time: work is bounded by sizes in the callers.

use crate::plan::SheetError;

/// Stack of the decoding thread, in bytes (taken page by page as it is used).
const STACK_BYTES: usize = 64 * 1024 * 1024;

/// Runs `work` on a thread of its own with a large stack.
///
/// # Errors
/// What `work` returns; `on_panic` if it panics; `Machine` if no thread starts.
pub(super) fn guarded<T: Send>(
    on_panic: SheetError,
    work: impl FnOnce() -> Result<T, SheetError> + Send,
) -> Result<T, SheetError> {
    std::thread::scope(|scope| {
        let thread = std::thread::Builder::new()
            .name("plan sheet".to_owned())
            .stack_size(STACK_BYTES)
            .spawn_scoped(scope, work);
        match thread {
            Ok(handle) => handle.join().unwrap_or(Err(on_panic)),
            Err(_) => Err(SheetError::Machine),
        }
    })
}
