//! Every rule of the trade that has a file is in the list of the rules: what is not there is neither read nor posted, and nothing else
//! would tell.

use std::fs;
use std::path::Path;

#[test]
fn every_rule_is_in_the_list() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/rules");
    let read = |path: &Path| fs::read_to_string(path).expect("a source is text");
    let book = read(&folder.join("book.rs"));
    let (_, list) = book.split_once("\nrules! {\n").expect("the list");
    let (list, _) = list.split_once("}\n").expect("the list ends");
    let mut rules = 0;
    for entry in fs::read_dir(folder).expect("the rules") {
        let text = read(&entry.expect("a file").path());
        for rest in text.split("\nimpl Rule for ").skip(1) {
            let rule = rest.split(' ').next().expect("its name");
            let once = list.contains(&format!(": {rule},\n"));
            let many = list.contains(&format!(": Vec<{rule}>,\n"));
            assert!(once || many, "{rule}");
            rules += 1;
        }
    }
    assert_eq!(rules, list.lines().filter(|l| l.ends_with(',')).count());
}
