//! Who may ask: a page of another site must not read the shop through a browser on this computer.

use std::net::IpAddr;

/// Whether a request's `Host` is an address this program serves at. Names other than `localhost` are refused: a
/// stranger's name can be made to lead here. An address by number cannot.
pub(super) fn host_is_ours(host: Option<&str>, port: u16, network: bool) -> bool {
    let Some(host) = host else { return false };
    let (name, given) = match host.rsplit_once(':') {
        Some((name, given)) if !given.ends_with(']') => (name, given.parse().ok()),
        _ => (host, Some(80)),
    };
    let name = name.strip_prefix('[').and_then(|name| name.strip_suffix(']')).unwrap_or(name);
    let known = name.eq_ignore_ascii_case("localhost")
        || name.parse::<IpAddr>().is_ok_and(|address| address.is_loopback() || network);
    known && given == Some(port)
}

/// Whether a request comes from a page of ours, or from no page.
pub(super) fn origin_is_ours(origin: Option<&str>, host: &str) -> bool {
    origin.is_none_or(|origin| {
        origin.strip_prefix("http://").is_some_and(|from| from.eq_ignore_ascii_case(host))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_this_computer_is_let_in_unless_the_network_is_asked_for() {
        for host in ["localhost:4180", "LOCALHOST:4180", "127.0.0.1:4180", "[::1]:4180"] {
            assert!(host_is_ours(Some(host), 4180, false), "{host}");
        }
        for host in [
            "bench.example:4180",
            "localhost",
            "localhost:80",
            "192.168.7.9:4180",
            "localhost.evil.example:4180",
            "",
        ] {
            assert!(!host_is_ours(Some(host), 4180, false), "{host}");
        }
        assert!(host_is_ours(Some("192.168.7.9:4180"), 4180, true));
        assert!(!host_is_ours(Some("bench.example:4180"), 4180, true), "a name can be made to lead here");
        assert!(!host_is_ours(None, 4180, true));
        assert!(host_is_ours(Some("localhost"), 80, false));
    }

    #[test]
    fn a_page_of_another_site_is_refused() {
        assert!(origin_is_ours(None, "localhost:4180"));
        assert!(origin_is_ours(Some("http://localhost:4180"), "localhost:4180"));
        for origin in ["http://evil.example", "null", "https://localhost:4180", "http://localhost:4181"] {
            assert!(!origin_is_ours(Some(origin), "localhost:4180"), "{origin}");
        }
    }
}
