//! Enumerations with a stable text key (for rows, forms and addresses) and words.

/// An enumeration whose values each have a key that never changes and words to show.
macro_rules! keyed {
    ($(#[$meta:meta])* $name:ident { $($(#[$doc:meta])* $variant:ident = $key:literal, $words:literal;)+ }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$doc])* $variant,)+ }

        impl $name {
            /// Every value, in order.
            pub const ALL: &'static [$name] = &[$($name::$variant,)+];

            /// The text by which rows and forms name it; it never changes.
            #[must_use]
            pub const fn key(self) -> &'static str {
                match self { $($name::$variant => $key,)+ }
            }

            /// The words for it.
            #[must_use]
            pub const fn words(self) -> &'static str {
                match self { $($name::$variant => $words,)+ }
            }

            /// The value of this key, if there is one.
            #[must_use]
            pub fn from_key(key: &str) -> Option<$name> {
                $name::ALL.iter().copied().find(|value| value.key() == key)
            }
        }
    };
}
