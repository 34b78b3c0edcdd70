use crate::documents::*;

fn sample_pdf() -> Vec<u8> {
    let project = sample::project();
    let results = sample::results(&project);
    let sheets = sample::no_sheets();
    let document = project_document(&project, &results, &sheets, &sample::issue());
    writers::pdf(&document).expect("the sample is typeset")
}

#[test]
fn the_same_document_gives_the_same_bytes() {
    let start = std::time::Instant::now();
    let first = sample_pdf();
    eprintln!("pdf took {:?}, {} bytes", start.elapsed(), first.len());
    if let Ok(path) = std::env::var("DOC_OUT") {
        std::fs::write(path, &first).unwrap();
    }
    assert!(first == sample_pdf(), "two runs differ");
}
