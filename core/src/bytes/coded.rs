//! One declaration for every shape of a type.

/// Declares a struct or an enum, and with the same fields in the same order how it is read from bytes
/// ([`Take`](super::Take)). How it is written, and its JSON, serde derives of that declaration.
macro_rules! coded {
    ($(#[$doc:meta])* $vis:vis struct $name:ident {
        $($(#[$field_doc:meta])* $field_vis:vis $field:ident: $type:ty),+ $(,)?
    }) => {
        $(#[$doc])*
        $vis struct $name {
            $($(#[$field_doc])* $field_vis $field: $type),+
        }

        impl $crate::bytes::Take for $name {
            fn blank() -> Self {
                Self { $($field: $crate::bytes::Take::blank()),+ }
            }
            fn take_from(&mut self, from: &mut $crate::bytes::Reader<'_>) {
                $(self.$field.take_from(from);)+
            }
        }
    };
    ($(#[$doc:meta])* $vis:vis struct $name:ident($inner_vis:vis $inner:ty);) => {
        $(#[$doc])*
        $vis struct $name($inner_vis $inner);

        impl $crate::bytes::Take for $name {
            fn blank() -> Self {
                Self($crate::bytes::Take::blank())
            }
            fn take_from(&mut self, from: &mut $crate::bytes::Reader<'_>) {
                self.0.take_from(from);
            }
        }
    };
    ($(#[$doc:meta])* $vis:vis enum $name:ident $(<$of:ident = $usual:ty>)? {
        $(#[$first_doc:meta])*
        $first:ident $(($first_type:ty))? $({
            $($(#[$first_field_doc:meta])* $first_field:ident: $first_field_type:ty),+ $(,)?
        })?
        $(,
            $(#[$variant_doc:meta])*
            $variant:ident $(($inner:ty))? $({
                $($(#[$field_doc:meta])* $field:ident: $type:ty),+ $(,)?
            })?
        )+ $(,)?
    }) => {
        $(#[$doc])*
        $vis enum $name $(<$of = $usual>)? {
            $(#[$first_doc])*
            $first $(($first_type))? $({
                $($(#[$first_field_doc])* $first_field: $first_field_type),+
            })?,
            $(
                $(#[$variant_doc])*
                $variant $(($inner))? $({
                    $($(#[$field_doc])* $field: $type),+
                })?
            ),+
        }

        impl $(<$of: $crate::bytes::Take>)? $crate::bytes::Take for $name $(<$of>)? {
            fn blank() -> Self {
                Self::$first
                    $((<$first_type as $crate::bytes::Take>::blank()))?
                    $({ $($first_field: $crate::bytes::Take::blank()),+ })?
            }
            fn take_from(&mut self, from: &mut $crate::bytes::Reader<'_>) {
                // Variants are numbered as they are declared.
                enum Place { $first, $($variant,)+ Behind }
                let place = from.variant(Place::Behind as u8);
                *self = $(if place == Place::$variant as u8 {
                    Self::$variant $((from.new_one::<$inner>()))? $({ $($field: from.new_one()),+ })?
                } else)+ {
                    let _ = Place::$first;
                    Self::$first $((from.new_one::<$first_type>()))? $({ $($first_field: from.new_one()),+ })?
                };
            }
        }
    };
}
pub(crate) use coded;
