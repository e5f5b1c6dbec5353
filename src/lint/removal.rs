//! A removal route says with what, and what to expect of it.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::Order;

pub(super) const LINT: Lint = Lint {
    code: "K0232",
    name: "removal",
    why: "a step cannot be judged at the bench without knowing what success looks like",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for material in scope.materials() {
        for route in &material.removal {
            let mut report = |message: &str, help: &str| {
                let diagnostic = Diagnostic::error("K0232", message).help(help);
                out.push(scope.finding(&Spot::At(&route.place), diagnostic));
            };
            if route.agent.is_none() && route.method.is_none() {
                report(
                    "a removal route without an agent or a method",
                    "add agent = \"…\" for a liquid, method = \"…\" for a dry way",
                );
            }
            match (route.order, route.effect) {
                (Order::Fails, Some(_)) => report(
                    "a route that fails has an effect",
                    "take `is` out, or give the route another order",
                ),
                // To leave it in place is a route with nothing to expect.
                (Order::First | Order::Second | Order::Last, None)
                    if route.method.as_deref() != Some("leave") =>
                {
                    report(
                        "a removal route without what to expect",
                        "add is = \"swells\", or what it looks like at the bench",
                    )
                }
                _ => {}
            }
        }
    }
}
