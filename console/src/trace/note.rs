//! What a person should know about a record that is read.

use super::gather::Said;
use bevelbook_core::frame::trace::Field;
use bevelbook_core::link::plain;
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use std::fmt;

/// Something about a record that may need a second look.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Note {
    /// An eye has no radii and is the mirror of the other.
    Mirrored {
        /// The eye that was not traced.
        eye: Eye,
    },
    /// The low corner toward the nose is the fuller one: a frame is usually cut away there.
    LooksSwapped {
        /// The eye.
        eye: Eye,
        /// How far the outline reaches down to the nose.
        nasal: Length,
        /// How far it reaches down to the temple.
        temporal: Length,
    },
    /// A stated side of the box is not that of the points.
    BoxDiffers {
        /// The eye.
        eye: Eye,
        /// HBOX or VBOX.
        field: Field,
        /// What the record states.
        stated: Length,
        /// What the points give, which counts.
        found: Length,
    },
    /// Labels that are kept as they came and not used, each once.
    Kept {
        /// The labels.
        labels: Vec<String>,
    },
}

impl Note {
    /// How far a stated side may be from that of the points: 0.1 mm. Common practice, no source: boxes are stated in
    /// 1/10 to 1/100 mm.
    pub const BOX_SAME: Length = Length::from_milli(100);
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Mirrored { eye } => {
                write!(f, "the {eye} eye has no radii: it is the mirror of the {} one", eye.other())
            }
            Self::LooksSwapped { eye, nasal, temporal } => write!(
                f,
                "the {eye} shape may be that of the other eye, or reversed: low down it reaches {nasal} mm to the nose and \
                 {temporal} mm to the temple"
            ),
            Self::BoxDiffers { eye, field, stated, found } => {
                write!(
                    f,
                    "{field} of the {eye} eye says {stated} mm, its points {found} mm: the points count"
                )
            }
            Self::Kept { labels } => write!(f, "kept, not used: {}", labels.join(" ")),
        }
    }
}

pub(super) fn notes(said: &Said) -> Vec<Note> {
    let mut notes = Vec::new();
    for eye in Eye::BOTH {
        let shape = &said.shapes[eye.index()];
        if shape.mirrored {
            notes.push(Note::Mirrored { eye });
            continue;
        }
        let Ok(outline) = shape.outline() else { continue };
        let low = outline.low_corners(eye);
        if low.look_swapped() {
            notes.push(Note::LooksSwapped { eye, nasal: low.nasal, temporal: low.temporal });
        }
        let boxed = outline.boxed();
        for (field, found) in [(Field::BoxWidth, boxed.a), (Field::BoxHeight, boxed.b)] {
            match said.stated(field, eye) {
                Some(stated) if (stated - found).abs() > Note::BOX_SAME => {
                    notes.push(Note::BoxDiffers { eye, field, stated, found });
                }
                _ => {}
            }
        }
    }
    let mut labels: Vec<String> = Vec::new();
    for (label, _) in &said.kept {
        let label: String = plain(label.trim()).collect();
        if !labels.contains(&label) {
            labels.push(label);
        }
    }
    if !labels.is_empty() {
        notes.push(Note::Kept { labels });
    }
    notes
}
