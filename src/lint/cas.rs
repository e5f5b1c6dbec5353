//! The check digit of a CAS registry number is right.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;

pub(super) const LINT: Lint = Lint {
    code: "K0226",
    name: "cas",
    why: "the number is what a safety data sheet is ordered by; the last digit is there to catch a \
          slip",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for agent in scope.agents() {
        let Some(cas) = &agent.cas else { continue };
        let (message, help) = match verdict(cas) {
            Ok(()) => continue,
            Err(Fault::Shape) => (
                format!("`{cas}` is no CAS number"),
                "two to seven digits, two digits, one digit, joined by hyphens: 64-17-5".to_owned(),
            ),
            Err(Fault::Digit(wanted)) => (
                format!("the check digit of `{cas}` does not fit"),
                format!("the digits before it ask for {wanted}; look the number up again"),
            ),
        };
        let diagnostic = Diagnostic::error("K0226", message).help(help);
        out.push(scope.finding(&Spot::FieldWord(&agent.head, "cas", cas), diagnostic));
    }
}

#[derive(Debug, PartialEq, Eq)]
enum Fault {
    /// Not three groups of digits.
    Shape,
    /// Another last digit was wanted.
    Digit(u32),
}

/// The digits before the last, counted from the right and each times its position, add up to the
/// last one modulo 10.
fn verdict(cas: &str) -> Result<(), Fault> {
    let groups: Vec<&str> = cas.split('-').collect();
    let [head, middle, last] = groups[..] else {
        return Err(Fault::Shape);
    };
    let digits = |text: &str| {
        text.chars()
            .map(|c| c.to_digit(10))
            .collect::<Option<Vec<_>>>()
    };
    let (Some(mut body), Some(tail), Some(check)) = (digits(head), digits(middle), digits(last))
    else {
        return Err(Fault::Shape);
    };
    if !(2..=7).contains(&body.len()) || tail.len() != 2 || check.len() != 1 {
        return Err(Fault::Shape);
    }
    body.extend(tail);
    let sum: u32 = (1..)
        .zip(body.iter().rev())
        .map(|(at, digit)| at * digit)
        .sum();
    if check == [sum % 10] {
        Ok(())
    } else {
        Err(Fault::Digit(sum % 10))
    }
}

#[cfg(test)]
mod tests {
    use super::{Fault, verdict};

    /// Numbers of water, ethanol and acetone as they stand on any label.
    #[test]
    fn numbers_of_labels_pass() {
        for cas in ["7732-18-5", "64-17-5", "67-64-1"] {
            assert_eq!(verdict(cas), Ok(()), "{cas}");
        }
    }

    #[test]
    fn slips_are_found() {
        assert_eq!(verdict("64-17-6"), Err(Fault::Digit(5)));
        assert_eq!(verdict("46-17-5"), Err(Fault::Digit(3)));
        for cas in ["64175", "6-17-5", "64-1-5", "64-17-55", "6a-17-5", ""] {
            assert_eq!(verdict(cas), Err(Fault::Shape), "{cas}");
        }
    }
}
