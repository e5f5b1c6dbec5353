//! A large case, made from a seed: 500 observations of ten old materials and 40 questions, none of them
//! asked twice. Shared by the tests and by `benches/report.rs`. All of it is invented.

/// What the bench would see of one old material: its noun, and observations that agree with it.
const SEEN: [(&str, &[&str]); 10] = [
    (
        "coating (film, later)",
        &[
            "dissolves in ethanol (crumb, 1 min)",
            "is unaffected by white spirit (crumb, 5 min)",
            "fluoresces orange under uv-a",
            "is unaffected by water (crumb, 5 min)",
            "looks amber",
            "softens in acetone (crumb, 5 min)",
        ],
    ),
    (
        "coating (film, later)",
        &[
            "dissolves in acetone (crumb, 1 min)",
            "dissolves in toluene (crumb, 1 min)",
            "is unaffected by water (crumb, 5 min)",
            "looks colourless",
            "is unaffected by white spirit (crumb, 5 min)",
        ],
    ),
    (
        "adhesive (open joint, later)",
        &[
            "swells in water (crumb, 5 min)",
            "is unaffected by ethanol (crumb, 5 min)",
            "is unaffected by acetone (crumb, 5 min)",
            "looks brown",
            "is brittle",
        ],
    ),
    (
        "adhesive (open joint, later)",
        &[
            "swells in acetone (crumb, 30 min)",
            "is unaffected by water (crumb, 5 min)",
            "looks yellowed",
            "is unaffected by ethanol (crumb, 5 min)",
        ],
    ),
    (
        "coating (film, later)",
        &[
            "dissolves in white spirit (crumb, 5 min)",
            "is unaffected by water (crumb, 5 min)",
            "is unaffected by ethanol (crumb, 1 min)",
            "looks white",
            "dissolves in toluene (crumb, 1 min)",
        ],
    ),
    (
        "metal paint (film, later)",
        &[
            "looks brown",
            "shows metal flakes under lens",
            "dissolves in acetone (crumb, 1 min)",
            "is unaffected by white spirit (crumb, 5 min)",
            "is unaffected by water (crumb, 5 min)",
        ],
    ),
    (
        "coating (film, later)",
        &[
            "dissolves in ethanol (crumb, 1 min)",
            "dissolves in acetone (crumb, 1 min)",
            "fluoresces green under uv-a",
            "is brittle",
            "is unaffected by water (crumb, 5 min)",
        ],
    ),
    (
        "adhesive (deep joint, later)",
        &[
            "is unaffected by water (crumb, 5 min)",
            "dissolves in acetone (crumb, 1 min)",
            "dissolves in ethanol (crumb, 5 min)",
            "looks colourless",
        ],
    ),
    (
        "consolidant (pores, later)",
        &[
            "is unaffected by water (crumb, 5 min)",
            "dissolves in acetone (crumb, 5 min)",
            "looks colourless",
        ],
    ),
    (
        "coating (film, later)",
        &[
            "dissolves in water (crumb, 5 min)",
            "is unaffected by ethanol (crumb, 5 min)",
            "looks grey",
            "is unaffected by white spirit (crumb, 5 min)",
        ],
    ),
];

/// Questions that stand for themselves.
const OWN: [&str; 10] = [
    "choose coating for l2 reversible for 50 years",
    "choose consolidant for l3",
    "choose fill for l5 reversible for 50 years",
    "choose adhesive for l6 to l6 where stable to 30 C",
    "compare paraloid b-72, isinglass, shellac by removal on l3",
    "blend to dissolve paraloid b-72 (fresh) sparing marble using acetone, ethanol, ethyl acetate, isooctane",
    "prepare 250 ml of 8 % w/v paraloid b-72 in ethyl acetate",
    "prepare 500 ml of 0.05 mol/l citrate buffer (pH 6.5) in water at 20 C",
    "ventilate 80 ml ethanol + acetone 1:1 during 20 min in 60 m3 at 4 air changes",
    "find consolidant where tg > 30 C",
];

/// Numbers from a seed (xorshift, Marsaglia 2003).
struct Seeded(u64);

impl Seeded {
    fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 >> 33).unwrap_or(0) % end
    }
}

/// The case as the text of its file.
pub(super) fn large(seed: u64) -> String {
    let mut random = Seeded(seed.max(1));
    let mut out = String::from(
        "palinode = 1\n[object]\ntitle = \"A large cabinet, invented\"\n\
         note = \"Made from a seed to measure with: there is no such cabinet.\"\n",
    );
    for (k, layer) in [
        "water gilding",
        "oil paint",
        "gesso (flaking)",
        "bole",
        "walnut",
        "limewood",
    ]
    .iter()
    .enumerate()
    {
        out.push_str(&format!(
            "[[layer]]\nid = \"l{}\"\nname = \"{layer}\"\n",
            k + 1
        ));
    }
    for (k, (noun, _)) in SEEN.iter().enumerate() {
        out.push_str(&format!(
            "[[unknown]]\nid = \"u{}\"\ncalled = \"old material {}\"\nnoun = \"{noun}\"\nover = \"l{}\"\n",
            k + 1,
            k + 1,
            1 + k % 3
        ));
    }
    for k in 0..500 {
        let of = k % SEEN.len();
        let seen = SEEN[of].1;
        // Each is seen once at least, and then some of them again at other places.
        let what = if k / SEEN.len() < seen.len() {
            seen[k / SEEN.len()]
        } else {
            seen[random.below(seen.len())]
        };
        out.push_str(&format!(
            "[[observation]]\nid = \"o{}\"\nof = \"u{}\"\nseen = \"{what}\"\nday = 2026-11-{:02}\n\
             place = \"zone {}\"\nwho = \"AB\"\n",
            k + 1,
            of + 1,
            1 + random.below(28),
            1 + random.below(60)
        ));
    }
    let mut questions: Vec<String> = (1..=10).map(|u| format!("identify u{u}")).collect();
    questions.extend((1..=10).map(|u| format!("remove u{u}")));
    questions.extend((1..=10).map(|u| format!("remove u{u} without water, heat limit 3")));
    questions.extend(OWN.iter().map(|text| (*text).to_owned()));
    for (k, ask) in questions.iter().enumerate() {
        out.push_str(&format!(
            "[[question]]\nid = \"q{}\"\nask = \"{ask}\"\n",
            k + 1
        ));
    }
    out
}
