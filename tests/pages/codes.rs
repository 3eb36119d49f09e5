//! The look-up of a card's code, as it is used at the bench.

use crate::{SITE, ask, open, with_tab};

/// At the bench with a printed card and no network: is it still right?
#[test]
fn a_typed_code_says_whether_the_card_is_current_offline_and_by_keyboard() {
    with_tab(|tab| {
        let cell = |row: &str, column: u32| {
            ask(tab, &format!("document.querySelector('{row} tbody tr').children[{column}].textContent"))
        };
        let type_in = |text: &str| {
            open(tab, "codes.html");
            tab.press_key("Tab").expect("a key");
            ask(tab, "document.getElementById('code').focus()");
            tab.type_str(text).expect("typed");
            ask(tab, "document.getElementById('code-said').textContent")
        };
        open(tab, "cards/index.html");
        ask(tab, "document.querySelector('a[href$=\"codes.html\"]').click()");
        tab.wait_for_element("#code").expect("the look-up, reached from the list of cards");
        let (card, values, name) =
            (cell("#current ~ div", 0), cell("#current ~ div", 1), cell("#current ~ div", 2));
        let (old, became) = (cell("#old ~ div", 0), cell("#old ~ div", 3));
        for typed in
            [card.clone(), card.to_lowercase().replace('-', " "), card.replace('0', "o").replace('1', "i")]
        {
            let said = type_in(&typed);
            assert!(said.starts_with("Current. ") && said.contains(&name), "{typed}: {said}");
        }
        assert!(type_in(&values).starts_with("Current. "), "by the code of its values");
        let said = type_in(&old);
        assert!(said.starts_with("Superseded. ") && said.contains(&became), "{said}");
        assert!(type_in("0000-0000").starts_with("Unknown. "));
        assert!(type_in("UUUU-UUUU").starts_with("No code. "));
        assert_eq!(type_in("7H2K"), "", "nothing is said before the code is whole");
        // The answer is told to a screen reader, and leads on by keyboard.
        type_in(&old);
        assert_eq!(ask(tab, "document.getElementById('code-said').getAttribute('role')"), "status");
        let height =
            ask(tab, "Math.round(document.querySelector('#code-said a').getBoundingClientRect().height)");
        assert!(height.parse::<u32>().is_ok_and(|height| height >= 44), "{height}");
        tab.press_key("Tab").expect("a key");
        tab.press_key("Enter").expect("a key");
        tab.wait_for_element(".card").expect("the card as it is now");
        // Markup that is typed stays text.
        assert!(type_in("<i>xxxxxxxx</i>").starts_with("No code. "));
    });
    // Without JavaScript the same is there as tables, and the empty field is not.
    let html = std::fs::read_to_string(SITE.join("codes.html")).expect("the page");
    assert!(html.contains("data-codes") && html.contains(" hidden>") && html.matches("<tbody>").count() == 2);
}
