//! Who is given what, by whom.

use super::Kept;

#[test]
fn a_book_is_begun_by_who_owns_the_database_and_says_what_comes_next() {
    let Some(kept) = Kept::empty() else { return };
    kept.make("other");
    let url = kept.database.url_as(&kept.role("other"));
    let told = kept.refused("other", ["book", "begin", &url]);
    assert!(told.stderr.contains("GRANT CREATE ON DATABASE"), "{told:?}");
    let missing = kept.run("owner", ["book", "where"]);
    assert!(missing.stderr.contains("no book") && missing.stderr.contains("book begin"), "{missing:?}");
    let url = kept.database.url_as(&kept.role("owner"));
    let told = kept.done("other", ["book", "begin", &url]);
    assert!(told.stdout.contains("began a new book at postgres://"), "{told:?}");
    for next in ["book grant", "BEVELBOOK_BOOK='postgres://bench1@", "pgpass"] {
        assert!(told.stderr.contains(next), "{next}: {told:?}");
    }
    let again = kept.done("other", ["book", "begin", &url]);
    assert!(again.stdout.contains("nothing was done: there is a book"), "{again:?}");
    assert!(!again.stderr.contains("what comes next"), "{again:?}");
    let told = kept.refused("other", ["book", "begin"]);
    assert!(told.stderr.contains("book grant"), "{told:?}");
    let nowhere = url.replace(&format!("/{}?", kept.database.name()), "/nowhere?");
    let told = kept.run("owner", ["book", "begin", &nowhere]);
    assert_eq!(told.status, Some(4), "{told:?}");
    assert!(told.stderr.contains("no database nowhere"), "{told:?}");
}

#[test]
fn grants_are_listed_replaced_and_taken_away_whole() {
    let Some(kept) = Kept::begun() else { return };
    let listed = |role: &str| {
        let rights = kept.done("owner", ["book", "grant", "--json"]).json();
        let rights =
            rights.as_array().unwrap().iter().find(|rights| rights["role"] == kept.role(role)).cloned();
        rights.map(|rights| {
            ["owns", "reads", "logs", "reads_names", "sets_names"].map(|may| rights[may] == true)
        })
    };
    assert!(listed("owner").unwrap()[0]);
    assert_eq!(listed("reader"), Some([false, true, false, false, false]));
    assert_eq!(listed("bench"), Some([false, true, true, false, false]));
    assert_eq!(listed("counter"), Some([false, true, true, true, true]));
    let told = kept.done("reader", ["book", "grant"]);
    assert!(
        told.stdout.lines().any(|line| line.starts_with(&kept.role("bench")) && line.contains("bench: "))
    );
    let [bench, counter] = ["bench", "counter"].map(|role| kept.role(role));
    for _ in 0..2 {
        kept.done("owner", ["book", "grant", &counter, "--as", "reader"]);
        assert_eq!(listed("counter"), Some([false, true, false, false, false]), "what it had goes");
        kept.done("owner", ["book", "revoke", &bench]);
        assert_eq!(listed("bench"), None);
    }
    let left = kept.count(&format!(
        "SELECT count(*) FROM pg_class, aclexplode(relacl) AS acl WHERE pg_get_userbyid(acl.grantee) = '{bench}'"
    ));
    let columns = kept.count(&format!(
        "SELECT count(*) FROM pg_attribute, aclexplode(attacl) AS acl WHERE pg_get_userbyid(acl.grantee) = '{bench}'"
    ));
    assert_eq!((left, columns), (0, 0), "of columns too");
    kept.refused("bench", ["job", "list"]);
    kept.done("owner", ["book", "grant", &bench, "--as", "bench"]);
    kept.done("bench", ["job", "list"]);
    // What a group may is not taken from its member alone.
    kept.database.sql(&format!("GRANT {bench} TO {counter}"));
    let told = kept.done("owner", ["book", "revoke", &counter]);
    assert!(told.stderr.contains("by another role"), "{told:?}");
}

#[test]
fn only_the_owner_says_who_may_what_and_only_of_roles_that_are_there() {
    let Some(kept) = Kept::begun() else { return };
    let bench = kept.role("bench");
    for role in ["reader", "bench", "counter"] {
        let told = kept.refused(role, ["book", "grant", &bench, "--as", "counter"]);
        assert!(told.stderr.contains("owner"), "{told:?}");
        kept.refused(role, ["book", "revoke", &bench]);
    }
    let told = kept.run("owner", ["book", "grant", "nobody there", "--as", "bench"]);
    assert_eq!(told.status, Some(4), "{told:?}");
    assert!(told.stderr.contains("no role nobody there") && told.stderr.contains("createuser"), "{told:?}");
    let told = kept.run("owner", ["book", "grant", &bench.to_uppercase(), "--as", "bench"]);
    assert!(told.stderr.contains(&format!("a role {bench}: is that meant?")), "{told:?}");
    let told = kept.run("owner", ["book", "grant", "public", "--as", "bench"]);
    assert!(told.stderr.contains("no role public"), "everybody is no role: {told:?}");
    let told = kept.run("owner", ["book", "revoke", &kept.role("owner")]);
    assert!(told.stderr.contains("may everything"), "{told:?}");
    for wrong in [
        &["book", "grant", "x"][..],
        &["book", "grant", "--as", "bench"],
        &["book", "grant", "x", "--as", "boss"],
    ] {
        assert_eq!(kept.run("owner", wrong).status, Some(2), "{wrong:?}");
    }
}

#[test]
fn a_name_that_sql_has_to_quote_is_a_name() {
    let Some(kept) = Kept::begun() else { return };
    let name = format!("Ann's \"2nd\" bench; {}", kept.database.name());
    kept.database.sql(&format!("CREATE ROLE \"{}\" LOGIN", name.replace('"', "\"\"")));
    let told = kept.done("owner", ["book", "grant", &name, "--as", "bench"]);
    assert!(told.stdout.contains(&name) && told.stdout.contains("bench: "), "{told:?}");
    let told = kept.done("owner", ["book", "revoke", &name]);
    assert!(told.stdout.contains("may nothing"), "{told:?}");
}

#[test]
fn a_file_has_no_roles() {
    let shop = bevelbook_tests::Shop::new();
    let told = shop.run(["book", "grant", "bench1", "--as", "bench"]);
    assert_eq!(told.status, Some(4), "{told:?}");
    assert!(told.stderr.contains("is a file, and knows no roles"), "{told:?}");
}

#[test]
fn what_is_told_to_be_typed_can_be_pasted_whatever_a_name_holds() {
    let Some(kept) = Kept::begun() else { return };
    let odd = format!("My \"Bench\" {}", kept.database.name());
    kept.database.sql(&format!("CREATE ROLE \"{}\" LOGIN", odd.replace('"', "\"\"")));
    let address = |role: &str, database: &str| {
        let url =
            kept.database.url().replace(&format!("/{}?", kept.database.name()), &format!("/{database}?"));
        url.replace("user=postgres", &format!("user={role}"))
    };
    let encoded = odd.replace(' ', "%20").replace('"', "%22");
    let told = |url: &str| {
        let output = kept.shop.command().args(["--book", url, "job", "list"]).output().unwrap();
        assert!(!output.status.success());
        String::from_utf8(output.stderr).unwrap()
    };
    let may_not = told(&address(&encoded, kept.database.name()));
    assert!(may_not.contains(&format!("`bevelbook book grant '{odd}' --as reader`")), "{may_not}");
    let missing = told(&address("postgres", "The%20Shop's"));
    assert!(missing.contains("createdb \"The Shop's\"."), "{missing}");
    let nobody = kept.run("owner", ["book", "grant", "no'body \"here", "--as", "bench"]);
    assert!(nobody.stderr.contains(r#"createuser --pwprompt 'no'\''body "here'"#), "{nobody:?}");
    // It can: the shell takes it for one word.
    kept.done("owner", ["book", "grant", &odd, "--as", "reader"]);
    assert_eq!(told_well(&kept, &address(&encoded, kept.database.name())), Some(0));
    kept.done("owner", ["book", "revoke", &odd]);
    kept.database.sql(&format!("DROP ROLE \"{}\"", odd.replace('"', "\"\"")));
}

fn told_well(kept: &Kept<'_>, url: &str) -> Option<i32> {
    kept.shop.command().args(["--book", url, "job", "list"]).output().unwrap().status.code()
}
