//! Words for the variants of an enum.

/// The words of each variant, which are its `Display`, padded as the formatter is asked to. After `ALL` also the list of
/// the variants in this order, and the words as a constant.
macro_rules! words {
    ($name:ident { $($variant:ident => $words:literal),+ $(,)? }) => {
        impl core::fmt::Display for $name {
            fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
                f.pad(match self { $(Self::$variant => $words),+ })
            }
        }
    };
    ($(#[$doc:meta])* ALL $name:ident { $($variant:ident => $words:literal),+ $(,)? }) => {
        impl $name {
            $(#[$doc])*
            pub const ALL: [Self; [$($words),+].len()] = [$(Self::$variant),+];

            /// What it is called.
            pub const fn words(self) -> &'static str {
                match self { $(Self::$variant => $words),+ }
            }
        }

        impl core::fmt::Display for $name {
            fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
                f.pad(self.words())
            }
        }
    };
}
pub(crate) use words;
