//! What people and other programs write: prescriptions, frame records, the shop's settings.

use bevelbook::settings::Settings;
use bevelbook::trace::Trace;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::frame::trace::{Reader, lines};
use bevelbook_core::prescription::{Eye, EyeOrder, OrderText, SphereCylinder};
use bevelbook_core::units::{Notation, Power, TextError};
use std::path::Path;
use std::{fs, str};

/// An error stands within the text, at whole letters.
fn placed(text: &str, error: &TextError) {
    assert!(error.start <= error.end && error.end <= text.len(), "{text:?}: {error:?}");
    assert!(text.is_char_boundary(error.start) && text.is_char_boundary(error.end), "{text:?}: {error:?}");
}

/// What is understood is understood again from the words that it is shown in.
pub(crate) fn prescription(bytes: &[u8]) {
    let Ok(text) = str::from_utf8(bytes) else { return };
    for notation in [Notation::Order, Notation::Reading] {
        match SphereCylinder::parse(text, notation) {
            Ok(read) => assert_eq!(SphereCylinder::parse(&read.to_string(), Notation::Reading), Ok(read)),
            Err(error) => placed(text, &error),
        }
    }
    for (notation, eye) in [
        (Notation::Order, None),
        (Notation::Order, Some(Eye::Right)),
        (Notation::Order, Some(Eye::Left)),
        (Notation::Reading, None),
    ] {
        match OrderText::read(text, notation, eye) {
            Ok(OrderText { eye: understood, .. }) => {
                let shown = understood.to_string();
                let again = OrderText::read(&shown, notation, eye).map(|read| read.eye);
                assert_eq!(again, Ok(understood), "{text:?} is shown as {shown:?}");
                calculate(&understood);
            }
            Err(error) => placed(text, &error),
        }
    }
    if let Err(error) = PupillaryDistance::parse(text) {
        placed(text, &error);
    }
}

/// Whatever can be ordered can be calculated with.
fn calculate(eye: &EyeOrder) {
    let power = eye.power;
    assert_eq!(power.plus_cylinder().minus_cylinder(), power.minus_cylinder());
    assert!(power.minus_cylinder().cylinder.milli() <= 0 && power.plus_cylinder().cylinder.milli() >= 0);
    // The other form of a power near the end of what is read may lie behind that. What is worked out has no eighths cut
    // short.
    let shown = power.minus_cylinder();
    if shown.sphere.milli().abs() <= Power::LIMIT {
        let again = SphereCylinder::parse(&shown.to_string(), Notation::Reading);
        assert_eq!(again.map(SphereCylinder::minus_cylinder), Ok(shown));
    }
}

/// A record is read or refused with its place; a shape that is read has sizes.
pub(crate) fn trace(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let mut reader = Reader::default();
    for line in lines(&text) {
        if reader.push(line).is_err() {
            break;
        }
    }
    let _ = reader.finish();
    match Trace::parse(&text, Path::new("hostile.trc")) {
        Ok(read) => {
            for eye in Eye::BOTH {
                let outline = read.shape(eye).outline().expect("what was read is an outline");
                let _ = (outline.boxed(), outline.girth());
            }
            read.notes().iter().for_each(|note| assert!(!note.to_string().is_empty()));
        }
        Err(error) => assert!(error.to_string().contains("hostile.trc"), "it names the file: {error}"),
    }
}

/// A file of settings is taken or refused by name.
pub(crate) fn settings(bytes: &[u8]) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("settings.toml");
    fs::write(&path, bytes).unwrap();
    match Settings::load(&path) {
        Ok((settings, _)) => assert!(settings.tolerances().is_ok()),
        Err(error) => assert!(!error.to_string().is_empty()),
    }
}
