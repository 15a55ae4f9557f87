//! Which functions of an image calculate with floating point in software.

/// What calculates with half, single or double precision in the run-time ABI of the ARM architecture (IHI 0043, 4.1.2),
/// without `__aeabi_`.
const ARM: &str = "dadd ddiv dmul drsub dsub dneg cdcmpeq cdcmple cdrcmple dcmpeq dcmplt dcmple dcmpge dcmpgt dcmpun \
    fadd fdiv fmul frsub fsub fneg cfcmpeq cfcmple cfrcmple fcmpeq fcmplt fcmple fcmpge fcmpgt fcmpun \
    d2iz d2uiz d2lz d2ulz f2iz f2uiz f2lz f2ulz i2d ui2d l2d ul2d i2f ui2f l2f ul2f \
    d2f f2d h2f h2f_alt f2h f2h_alt d2h d2h_alt";

/// The same in GCC's library (GCC Internals, 4.2), without `__`; F stands for `sf` and `df`, I for `si` and `di`.
const GCC: &str = "addF3 subF3 mulF3 divF3 negF2 powiF2 cmpF2 unordF2 eqF2 neF2 geF2 ltF2 leF2 gtF2 fixFI fixunsFI \
    floatIF floatunIF extendsfdf2 extendhfsf2 truncdfsf2 truncsfhf2 truncdfhf2";

/// Whether a function of the compiler's run-time library calculates with floating point; those of Rust's own have a path.
#[must_use]
pub fn floats(name: &str) -> bool {
    if name.contains("compiler_builtins::float::") {
        return true;
    }
    if let Some(name) = name.strip_prefix("__aeabi_") {
        return ARM.split(' ').any(|listed| listed == name);
    }
    let precisions = ["sf", "df"].into_iter().flat_map(|float| ["si", "di"].map(|whole| (float, whole)));
    name.strip_prefix("__").is_some_and(|name| {
        precisions.into_iter().any(|(float, whole)| {
            GCC.split(' ').any(|listed| listed.replace('F', float).replace('I', whole) == name)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn functions_of_floating_point_are_told_from_those_of_integers() {
        for name in [
            "compiler_builtins::float::add::__addsf3",
            "__aeabi_fadd",
            "__aeabi_cdrcmple",
            "__aeabi_ul2d",
            "__muldf3",
            "__fixunsdfdi",
            "__floatunsisf",
        ] {
            assert!(floats(name), "{name}");
        }
        for name in [
            "compiler_builtins::mem::memcpy",
            "__aeabi_uidivmod",
            "__aeabi_lmul",
            "__aeabi_memcpy4",
            "__muldi3",
            "__udivsi3",
            "memcpy",
        ] {
            assert!(!floats(name), "{name}");
        }
    }
}
