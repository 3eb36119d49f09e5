//! Whether the shop's pages may be public.

use crate::diagnostic::{Finding, did_you_mean, rules};
use crate::resolve::Shop;
use crate::review::is_approver;
use crate::words::one_of;

/// public-not-by-approver: that the pages may be public counts only from an approver.
pub(crate) fn by_approver(shop: &Shop, found: &mut Vec<Finding>) {
    let public = &shop.settings.public;
    if !public.is_whole() || is_approver(shop, &public.by.text) {
        return;
    }
    let approvers = shop.settings.approvers.iter().map(|name| name.text.as_str());
    let all: Vec<&str> = approvers.clone().collect();
    found.push(
        rules::PUBLIC_NOT_BY_APPROVER
            .at(
                public.by.span,
                format!(
                    "`{}` is not among the shop's approvers, so the pages are not taken to be public",
                    public.by.text
                ),
            )
            .bench("the pages are built and not published: a link that was given to the bench leads nowhere")
            .instead(did_you_mean(&public.by.text, approvers, || {
                format!("let {} answer for it, or add the name to `approvers:`", one_of(&all))
            })),
    );
}
