//! The layers of the object in section, from the top down, with what lies on them.

use super::Figure;
use super::svg::{BOLD, FAINT, Hatch, INK, LETTER, PALE, Svg, wrap};

/// What is drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stack {
    /// Slabs from the top down.
    pub slabs: Vec<Slab>,
}

/// One slab of the section.
#[derive(Clone, Debug, PartialEq)]
pub struct Slab {
    /// What it is called.
    pub name: String,
    /// Its state, or a short remark; may be empty.
    pub note: String,
    /// Whether it is an old restoration material, not a layer that must survive.
    pub unknown: bool,
}

/// Draws the stack. Heights say nothing: a section is not to scale, and the figure says so.
#[must_use]
pub fn stack(id: &str, stack: &Stack) -> Figure {
    const WIDTH: f64 = 380.0;
    const LEFT: f64 = 16.0;
    const SLAB: f64 = 120.0;
    let mut svg = Svg::new(id, WIDTH);
    let mut y = 16.0;
    let mut kept = 0;
    let mut told = Vec::new();
    for slab in &stack.slabs {
        let name = if slab.unknown {
            format!("{} (old material, to be judged)", slab.name)
        } else {
            slab.name.clone()
        };
        let room = WIDTH - LEFT - SLAB - 40.0;
        let lines = wrap(&name, room / BOLD).len()
            + usize::from(!slab.note.is_empty()) * wrap(&slab.note, room).len();
        let height = (lines as f64 * LETTER * 1.25 + 14.0).max(36.0);
        if slab.unknown {
            svg.rect(
                LEFT,
                y,
                SLAB,
                height,
                PALE,
                &format!("stroke=\"{INK}\" stroke-width=\"2\" stroke-dasharray=\"7 4\""),
            );
            svg.text(
                LEFT + SLAB / 2.0,
                y + height / 2.0 + 6.0,
                "?",
                "text-anchor=\"middle\" font-size=\"20\" font-weight=\"700\"",
            );
        } else {
            let fill = svg.hatch(Hatch::ALL[kept % Hatch::ALL.len()]);
            svg.rect(
                LEFT,
                y,
                SLAB,
                height,
                &fill,
                &format!("stroke=\"{INK}\" stroke-width=\"1.2\""),
            );
            kept += 1;
        }
        let middle = y + height / 2.0;
        svg.line(
            (LEFT + SLAB, middle),
            (LEFT + SLAB + 18.0, middle),
            &format!("stroke=\"{FAINT}\" stroke-width=\"1\""),
        );
        let x = LEFT + SLAB + 24.0;
        let mut base = middle - (lines as f64 - 1.0) * LETTER * 0.625 + 4.5;
        let shown = svg.lines(x, base, &name, room / BOLD, "font-weight=\"600\"");
        base += shown as f64 * LETTER * 1.25;
        if !slab.note.is_empty() {
            svg.lines(x, base, &slab.note, room, &format!("fill=\"{FAINT}\""));
        }
        told.push(if slab.note.is_empty() {
            name
        } else {
            format!("{name}, {}", slab.note)
        });
        y += height;
    }
    svg.text(
        LEFT,
        y + 22.0,
        "Top at the top; thickness is not to scale.",
        &format!("fill=\"{FAINT}\""),
    );
    svg.finish(
        y + 34.0,
        "Layers in section",
        &format!(
            "From the top down: {}. Thickness is not to scale.",
            told.join("; ")
        ),
    )
}
