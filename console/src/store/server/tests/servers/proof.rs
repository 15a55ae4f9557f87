//! How a server proves who it is.

use super::certificates::{Certified, Root};
use super::{Reached, Shop, assert_says, first};
use bevelbook_server::Server;

#[test]
fn a_server_with_a_good_certificate_is_reached_and_any_other_is_refused_with_what_would_be_right() {
    let root = Root::new("Shop root");
    let Certified { certificate, key } = root.signs(&["127.0.0.1", "db1.example"], 2020, 2090);
    let Some(server) = Server::setup().tls(&certificate, &key).start() else { return };
    let url = server.tcp_url("postgres", "postgres");
    let shop = Shop::new()
        .file("root.crt", &root.own.certificate)
        .file("other.crt", &Root::new("Other root").own.certificate)
        .file("no.crt", "no certificate");
    let roots = |name: &str| format!("{url}?sslmode=verify-full&sslrootcert={}", shop.at(name).display());
    let ssl = |reached: &mut Reached| -> bool {
        first(reached, "SELECT ssl FROM pg_stat_ssl WHERE pid = pg_backend_pid()") == "t"
    };
    let good = roots("root.crt");
    assert!(ssl(&mut shop.reach(&good)));
    // Over the loopback nothing is verified unless that is said.
    assert!(ssl(&mut shop.reach(&url)));
    assert!(!ssl(&mut shop.reach(&format!("{url}?sslmode=disable"))));
    assert!(ssl(&mut shop.reach(&format!("{url}?sslmode=require"))));

    let localhost = good.replace("127.0.0.1", "localhost");
    assert_says(
        &shop.told(&localhost),
        &["is for 127.0.0.1, db1.example, not for localhost", "subjectAltName"],
    );
    assert!(ssl(&mut shop.reach(&localhost.replace("verify-full", "verify-ca"))));
    assert_says(&shop.told(&roots("other.crt")), &["is of no root in", "other.crt", "sslrootcert=FILE"]);
    assert_says(&shop.told(&roots("no.crt")), &["no certificate", "no.crt", "PEM"]);
    assert_says(&shop.told(&roots("missing.crt")), &["missing.crt", "No such file"]);
    assert_says(&shop.told(&format!("{url}?sslmode=verify-full")), &["this system", "sslrootcert=FILE"]);
    let with_home = shop.file(".postgresql/root.crt", &root.own.certificate);
    assert!(ssl(&mut with_home.reach(&format!("{url}?sslmode=verify-full"))));
}

#[test]
fn a_certificate_that_ran_out_does_not_hold_yet_or_is_a_roots_own_is_refused() {
    let root = Root::new("Shop root");
    let shop = Shop::new().file("root.crt", &root.own.certificate);
    let file = shop.at("root.crt").display().to_string();
    for (certified, words) in [
        (root.signs(&["127.0.0.1"], 2020, 2021), ["ran out (2021-12-31 UTC)", "renewed"]),
        (root.signs(&["127.0.0.1"], 2080, 2081), ["does not hold yet (2080-01-01 UTC)", "the date"]),
        (Root::new("Shop root").own, ["a root's own", "signed by a root"]),
    ] {
        let Some(server) = Server::setup().tls(&certified.certificate, &certified.key).start() else {
            return;
        };
        let url = server.tcp_url("postgres", "postgres");
        assert_says(&shop.told(&format!("{url}?sslmode=verify-full&sslrootcert={file}")), &words);
    }
}

#[test]
fn a_certificate_that_names_no_host_serves_where_nobody_looks_at_it_and_is_told_where_somebody_does() {
    let root = Root::new("Shop root");
    let shop = Shop::new().file("root.crt", &root.own.certificate);
    let file = shop.at("root.crt").display().to_string();
    // As `openssl x509 -req` makes one where no extensions are named (PostgreSQL 15's documentation, §19.9.5).
    let version_1 = include_str!("version_1.pem").to_owned();
    let version_1 = Certified { certificate: version_1.clone(), key: version_1 };
    for (certified, words) in [
        (root.signs(&[], 2020, 2090), ["names no host", "names 127.0.0.1 as subjectAltName"]),
        (version_1, ["is of the first version", "subjectAltName"]),
    ] {
        let Some(server) = Server::setup().tls(&certified.certificate, &certified.key).start() else {
            return;
        };
        let url = server.tcp_url("postgres", "postgres");
        assert_says(&shop.told(&format!("{url}?sslmode=verify-full&sslrootcert={file}")), &words);
        shop.reach(&format!("{url}?sslmode=require"));
        shop.reach(&url);
    }
}

#[test]
fn a_server_without_tls_is_refused_where_tls_is_wanted() {
    let Some(server) = Server::setup().tcp().start() else { return };
    let url = server.tcp_url("postgres", "postgres");
    let shop = Shop::new();
    assert_says(
        &shop.told(&format!("{url}?sslmode=require")),
        &["has no TLS", "names of people", "?sslmode=disable"],
    );
    shop.reach(&url);
}
