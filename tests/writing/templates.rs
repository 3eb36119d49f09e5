//! A shop's own template that does not come to an end.

use std::fs;

use crate::support::Shop;

#[test]
fn a_template_that_loops_or_grows_is_stopped_with_its_name() {
    let endless = "{% for a in range(end=100000) %}{% for b in range(end=100000) %}\
                   {% for c in range(end=100000) %}{% endfor %}{% endfor %}{% endfor %}";
    let printing = "{% for a in range(end=100000) %}{% for b in range(end=100000) %}\
                    sixteen letters.{% endfor %}{% endfor %}";
    let mut doubling = String::from("{% set x = \"sixteen letters.\" %}");
    for _ in 0..60 {
        doubling.push_str("{% set x = x ~ x %}");
    }
    // The form of a component is that of the library's manual.
    let itself = "{% component again() %}a{{<again/>}}{% endcomponent again %}{{<again/>}}";
    let branching = "{% component again() %}{{<again/>}}{{<again/>}}{{<again/>}}{{<again/>}}{% endcomponent again %}\
                     {{<again/>}}";
    let growing = "{% component again(x) %}{{<again x={x ~ x ~ x ~ x ~ x ~ x ~ x ~ x} />}}\
                   {% endcomponent again %}{{<again x=\"sixteen letters.\" />}}";
    let two = "{% component here() %}{{<there/>}}{% endcomponent here %}\
               {% component there() %}{{<here/>}}{% endcomponent there %}{{<here/>}}";
    let nested = format!("{}{}", "{% if true %}".repeat(100_000), "{% endif %}".repeat(100_000));
    let brackets = format!("{{{{ {}1{} }}}}", "(".repeat(100_000), ")".repeat(100_000));
    let signs = format!("{{{{ {}1 }}}}", "-".repeat(100_000));
    for (name, text) in [
        ("endless", endless),
        ("printing", printing),
        ("doubling", &doubling),
        ("a component in itself", itself),
        ("a component in itself many times", branching),
        ("a component in itself that grows", growing),
        ("two components in each other", two),
        ("nested", &nested),
        ("brackets", &brackets),
        ("signs", &signs),
    ] {
        let shop = Shop::new();
        assert_eq!(shop.run(&["build"]).status, 0);
        let before = fs::read(shop.at("site/404.html")).unwrap();
        fs::create_dir(shop.at("templates")).unwrap();
        fs::write(shop.at("templates/404.html"), text).unwrap();
        let answer = shop.run(&["build", "--page-seconds", "3"]);
        assert_ne!(answer.status, 0, "{name}");
        let told = answer.out + &answer.error;
        assert!(told.contains("404.html"), "{name}: {told}");
        assert_eq!(fs::read(shop.at("site/404.html")).unwrap(), before, "{name}: the site stays");
        // What it left behind goes with the next run.
        fs::remove_file(shop.at("templates/404.html")).unwrap();
        assert_eq!(shop.run(&["build"]).status, 0, "{name}");
        assert!(!shop.at("site/.benchleaf/stage").exists(), "{name}");
    }
}
