//! What is found for what an address leaves out. The order is that of PostgreSQL 15's documentation, §34.17: what the
//! address says comes before the service file, and that before the environment.

use super::Shop;
use crate::store::server::said::{Host, Wanted};
use crate::store::server::tls::{Mode, Roots};
use crate::store::server::way::{NoWay, Way};
use std::path::Path;
use std::time::Duration;

fn machine(name: &str) -> Host {
    Host::Machine(name.to_owned())
}

fn hosts(way: &Way) -> Vec<String> {
    way.hosts.iter().map(ToString::to_string).collect()
}

#[test]
fn who_says_nothing_has_the_own_name_the_database_of_that_name_and_the_socket() {
    let way = Shop::new().way("postgres://");
    assert_eq!((way.user.as_str(), way.database.as_str()), ("edger", "edger"));
    assert!(matches!(way.hosts[0].host, Host::Folder(_)), "{:?}", hosts(&way));
    assert_eq!((way.hosts[0].port, way.hosts[0].mode), (5432, Mode::Disable));
    assert_eq!((way.application.as_str(), way.timeout), ("bevelbook", Duration::from_secs(5)));
    assert_eq!((way.wanted, way.roots), (None, Roots::System));
    assert_eq!(Shop::new().way("postgres://bench@db1").database, "bench");
}

#[test]
fn the_address_comes_before_the_service_file_and_that_before_the_environment() {
    let shop = Shop::new()
        .with("PGHOST", "of-environment")
        .with("PGPORT", "1")
        .with("PGUSER", "of-environment")
        .with("PGDATABASE", "of-environment")
        .with("PGCONNECT_TIMEOUT", "7")
        .with("PGAPPNAME", "of-environment")
        .with("PGTARGETSESSIONATTRS", "primary")
        .with("PGSSLMODE", "verify-ca")
        .with("PGSSLROOTCERT", "of-environment")
        .file(
            ".pg_service.conf",
            "# the shop's\n[other]\nuser=x\n\n[shop]\nhost=of-file\n port = 2\nuser=of-file\n[z]\ndbname=z\n",
        );
    let way = shop.way("postgres://of-address/?service=shop");
    assert_eq!(hosts(&way), ["of-address:2"]);
    assert_eq!((way.user.as_str(), way.database.as_str()), ("of-file", "of-environment"));
    assert_eq!((way.timeout, way.application.as_str()), (Duration::from_secs(7), "of-environment"));
    assert_eq!((way.wanted, way.hosts[0].mode), (Some(Wanted::Primary), Mode::VerifyCa));
    assert_eq!(way.roots, Roots::File("of-environment".into()));
    let way = shop.with("PGSERVICE", "z").way("postgres://");
    assert_eq!((hosts(&way), way.database.as_str()), (vec!["of-environment:1".to_owned()], "z"));
}

#[test]
fn the_users_service_comes_before_the_machines_and_a_file_that_is_named_before_both() {
    let shop = Shop::new()
        .file(".pg_service.conf", "[shop]\nhost=users\n")
        .file("etc/pg_service.conf", "[shop]\nhost=machines\n[branch]\nhost=machines\n")
        .file("named", "[shop]\nhost=named\n");
    let etc = shop.at("etc").display().to_string();
    let named = shop.at("named").display().to_string();
    let shop = shop.with("PGSYSCONFDIR", &etc);
    assert_eq!(hosts(&shop.way("postgres://?service=shop")), ["users:5432"]);
    assert_eq!(hosts(&shop.way("postgres://?service=branch")), ["machines:5432"]);
    let shop = shop.with("PGSERVICEFILE", &named);
    assert_eq!(hosts(&shop.way("postgres://?service=shop")), ["named:5432"]);
    assert_eq!(hosts(&shop.way("postgres://?service=branch")), ["machines:5432"]);
}

#[test]
fn a_service_that_is_not_there_or_says_what_is_not_known_is_refused_with_its_file_and_line() {
    let shop = Shop::new().file(
        ".pg_service.conf",
        "[a]\nhost=db1\nsslmod=require\n[b]\nport=none\n[c]\npassword\n[d]\nservice=a\n[e]\njust words\n",
    );
    let file = shop.at(".pg_service.conf").display().to_string();
    for (name, told) in [
        ("shop", "no service shop is described in"),
        ("a", "has in line 3: sslmod; known is PARAMETER=VALUE"),
        ("b", "has in line 5: port=none; a port is a number"),
        ("d", "has in line 9: service=a; a service is described by itself"),
        ("e", "has in line 11: just words; known is PARAMETER=VALUE"),
    ] {
        let said = shop.refused(&format!("postgres://?service={name}"));
        assert!(said.contains(told) && said.contains(&file), "{said}");
    }
    let said = shop.with("PGSERVICEFILE", "/nowhere/services").refused("postgres://?service=a");
    assert!(said.contains("/nowhere/services cannot be read"), "{said}");
}

#[test]
fn a_variable_that_cannot_be_is_named() {
    let said = Shop::new().with("PGPORT", "five").refused("postgres://db1");
    assert_eq!(said, "in the environment PGPORT=five cannot be; a port is a number from 1 to 65535");
    let said = Shop::new().with("PGSSLMODE", "yes").refused("postgres://db1");
    assert!(said.contains("PGSSLMODE=yes") && said.contains("verify-full"), "{said}");
}

#[test]
fn several_hosts_have_a_port_each_or_one_for_all() {
    let shop = Shop::new();
    assert_eq!(hosts(&shop.way("postgres://a:1,b,[::1]:3")), ["a:1", "b:5432", "[::1]:3"]);
    assert_eq!(hosts(&shop.way("postgres://a,b?port=7")), ["a:7", "b:7"]);
    assert_eq!(hosts(&shop.way("postgres:///shop?host=/run/x,b&port=,9")), ["/run/x/.s.PGSQL.5432", "b:9"]);
    assert_eq!(shop.find("postgres://a,b?port=1,2,3").err(), Some(NoWay::Ports { hosts: 2, ports: 3 }));
    assert_eq!(shop.find("postgres://a,,b").err(), Some(NoWay::Nameless));
}

#[test]
fn over_a_network_the_server_has_to_prove_who_it_is_unless_it_is_said_otherwise() {
    let mode = |shop: &Shop, address: &str| shop.way(address).hosts[0].mode;
    let shop = Shop::new();
    for (address, wanted) in [
        ("postgres://db1/shop", Mode::VerifyFull),
        ("postgres://192.0.2.7/shop", Mode::VerifyFull),
        ("postgres://localhost/shop", Mode::Prefer),
        ("postgres://127.0.0.1/shop", Mode::Prefer),
        ("postgres://[::1]/shop", Mode::Prefer),
        ("postgres://localhost.example/shop", Mode::VerifyFull),
        ("postgres://%2Ftmp/shop", Mode::Disable),
        ("postgres://%2Ftmp/shop?sslmode=verify-full", Mode::Disable),
        ("postgres://db1/shop?sslmode=disable", Mode::Disable),
        ("postgres://db1/shop?sslmode=require", Mode::Require),
        // §34.19.1: with a file of roots it verifies as verify-ca does.
        ("postgres://db1/shop?sslmode=require&sslrootcert=/etc/root.crt", Mode::VerifyCa),
        ("postgres://db1/shop?sslmode=verify-ca", Mode::VerifyCa),
    ] {
        assert_eq!(mode(&shop, address), wanted, "{address}");
    }
    assert_eq!(shop.way("postgres://db1?sslrootcert=system").roots, Roots::System);
    let shop = shop.file(".postgresql/root.crt", "");
    let way = shop.way("postgres://db1?sslmode=require");
    assert_eq!(
        (way.hosts[0].mode, way.roots),
        (Mode::VerifyCa, Roots::File(shop.at(".postgresql/root.crt")))
    );
}

#[test]
fn the_password_is_that_of_the_first_line_that_fits() {
    // §34.16: the form, the wildcard, the escapes, the comment, and that the first line that fits is used.
    let shop = Shop::new().file(
        ".pgpass",
        "# db1:5432:shop:bench:of a comment\n\
         db1:5432:shop:bench\n\
         db1:5432:shop:bench:first\n\
         db1:*:shop:bench:second\n\
         *:5433:*:bench:any host\n\
         \\:\\:1:*:*:*:six:behind the fifth\n\
         db2:*:*:*:a\\:b\\\\c \n\
         localhost:*:*:bench:of the socket\n\
         /run/other:*:*:bench:of another socket\n\
         db3:*:\\*:*:of a star\n",
    );
    for (address, password) in [
        ("postgres://bench@db1/shop", Some("first")),
        ("postgres://bench@db1:5434/shop", Some("second")),
        ("postgres://bench@db9:5433/other", Some("any host")),
        ("postgres://x@[::1]/y", Some("six")),
        ("postgres://x@db2/y", Some("a:b\\c ")),
        ("postgres://bench@%2Frun%2Fpostgresql/shop", Some("of the socket")),
        ("postgres://bench@localhost/shop", Some("of the socket")),
        ("postgres://bench@%2Frun%2Fother/shop", Some("of another socket")),
        ("postgres://x@db3/*", Some("of a star")),
        ("postgres://x@db3/y", None),
        ("postgres://counter@db1/shop", None),
    ] {
        assert_eq!(shop.password(address).ok().as_deref(), password, "{address}");
    }
    let none = shop.password("postgres://counter@db1/shop").unwrap_err();
    assert!(none.contains("no line of the password file") && none.contains(".pgpass"), "{none}");
    let each: Vec<_> = shop.way("postgres://bench@db1,db9:5433,db8/shop").hosts;
    let each: Vec<_> =
        each.into_iter().map(|host| host.password.ok().map(|secret| secret.password)).collect();
    assert_eq!(each, [Some("first".to_owned()), Some("any host".to_owned()), None]);
}

#[test]
fn a_password_is_found_where_it_is_said_to_be_and_it_is_told_where_that_was() {
    let shop = Shop::new()
        .file(".pgpass", "*:*:*:*:usual\n")
        .file("named", "*:*:*:*:named\n")
        .file(".pg_service.conf", "[shop]\npassword=of service\n");
    let named = shop.at("named").display().to_string();
    let found = |shop: &Shop, address: &str| {
        let secret = shop.way(address).hosts[0].password.clone().unwrap();
        (secret.password, secret.found_in.replace(shop.home.path().to_str().unwrap(), "~"))
    };
    let said = |a: &str, b: &str| (a.to_owned(), b.to_owned());
    assert_eq!(found(&shop, "postgres://db1"), said("usual", "~/.pgpass, line 1"));
    let shop = shop.with("PGPASSFILE", &named);
    assert_eq!(found(&shop, "postgres://db1"), said("named", "~/named, line 1"));
    let shop = shop.with("PGPASSWORD", "of environment");
    assert_eq!(found(&shop, "postgres://db1"), said("of environment", "PGPASSWORD"));
    assert_eq!(found(&shop, "postgres://?service=shop"), said("of service", "~/.pg_service.conf, line 2"));
}

#[test]
#[cfg(unix)]
fn a_password_file_that_others_may_read_is_told_and_not_used() {
    for mode in [0o640, 0o604, 0o644, 0o660] {
        let shop = Shop::new().file_of(".pgpass", "*:*:*:*:open\n", mode);
        let none = shop.way("postgres://db1").hosts[0].password.clone().err().unwrap();
        assert!(none.is_told && none.why.contains("chmod 600"), "{}", none.why);
    }
    let shop = Shop::new().with("PGPASSFILE", "/dev/null");
    assert!(shop.password("postgres://db1").unwrap_err().contains("is no file"));
    let none = Shop::new().way("postgres://db1").hosts[0].password.clone().err().unwrap();
    assert!(!none.is_told && none.why.contains("there is no password file"), "{}", none.why);
}

#[test]
fn a_host_is_a_folder_where_it_begins_with_a_slash() {
    let way = Shop::new().way("postgres://%2Ftmp%2Fx,db1:1/shop");
    assert_eq!(way.hosts[0].host, Host::Folder(Path::new("/tmp/x").to_path_buf()));
    assert_eq!(way.hosts[1].host, machine("db1"));
}
