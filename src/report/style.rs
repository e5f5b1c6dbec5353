//! How the page looks: on a screen, on a phone, on paper.

/// Size of the paper for which the print style is made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// ISO 216 A4, 210 by 297 mm.
    #[default]
    A4,
    /// US Letter, 8.5 by 11 in.
    Letter,
}

impl Paper {
    const fn page(self) -> &'static str {
        match self {
            Self::A4 => "@page{size:A4;margin:18mm 17mm 20mm}",
            Self::Letter => "@page{size:letter;margin:0.7in 0.7in 0.8in}",
        }
    }
}

/// The style sheet. Letters are the reader's own; nothing is fetched.
pub(super) fn sheet(paper: Paper) -> String {
    format!("{SCREEN}{}{PRINT}", paper.page())
}

const SCREEN: &str = "\
:root{color-scheme:light}*{box-sizing:border-box}\
body{margin:0;background:#fff;color:#1c2329;font:1rem/1.55 Georgia,'Times New Roman',serif}\
header,nav,main,footer{max-width:58rem;margin:0 auto;padding:0 1.25rem}\
h1,h2,h3,th,caption,dt,figcaption,nav,.about,.plain h3{font-family:system-ui,sans-serif}\
h1{font-size:1.9rem;line-height:1.2;margin:1.6rem 0 .6rem}\
h2{font-size:1.4rem;margin:2.6rem 0 .8rem;padding-bottom:.3rem;border-bottom:3px solid #2f4858}\
h3{font-size:1.1rem;margin:1.8rem 0 .5rem}\
p,ul,ol,dl,figure,.wide{margin:.7rem 0}\
a{color:#1f4e79}a:focus-visible,[tabindex]:focus-visible,summary:focus-visible\
{outline:3px solid #8a4b00;outline-offset:2px}\
.skip{position:absolute;left:-99rem}.skip:focus{left:1rem;top:.5rem;background:#fff;padding:.5rem}\
dl{display:grid;grid-template-columns:minmax(8rem,14rem) 1fr;gap:.25rem 1rem}\
dt{font-weight:600}dd{margin:0;overflow-wrap:anywhere}\
dl.step{display:block;border-left:4px solid #5f6a72;padding-left:.8rem}dl.step dd{margin:.2rem 0}\
nav{margin-top:1rem}nav ul{columns:2;column-gap:2rem;padding-left:1.2rem}\
.plain{background:#f3efe6;border:1px solid #b9ad95;border-radius:.3rem;padding:.2rem 1rem .4rem;\
margin:1rem 0}.plain h3{margin:.6rem 0 .2rem;font-size:1rem}\
.warn{border:2px solid #1c2329;padding:.5rem .9rem;font-weight:600}\
.wide,.drawing{overflow-x:auto}table{border-collapse:collapse;width:100%;font-size:.92rem;\
line-height:1.4}caption{text-align:left;font-weight:600;padding:.4rem 0}\
th,td{text-align:left;vertical-align:top;padding:.35rem .5rem;border:1px solid #9aa3a9;\
overflow-wrap:break-word}thead th{background:#e9e4da}tbody th{font-weight:600}\
td,tbody th{min-width:4.5rem}\
pre{white-space:pre-wrap;overflow-wrap:anywhere;background:#f4f5f6;border-left:4px solid #5f6a72;\
padding:.6rem .8rem;font:.86rem/1.45 ui-monospace,monospace}code{font:.88em ui-monospace,monospace;\
overflow-wrap:anywhere}\
figure{padding:.6rem;border:1px solid #9aa3a9}figure svg{display:block;width:100%;height:auto;\
max-width:46rem}figure .narrow svg{max-width:28rem}figure img{display:block;max-width:100%;height:auto;max-height:40rem}\
figcaption{font-size:.92rem;margin-top:.5rem}details{font-size:.9rem;margin-top:.3rem}\
.basis{font-style:italic}ul.refs{list-style:none;padding:0}ul.refs li{margin:.5rem 0 .5rem 1.6rem;\
text-indent:-1.6rem;overflow-wrap:anywhere}.read{color:#4a545c}\
footer{border-top:1px solid #9aa3a9;margin-top:3rem;padding-top:.6rem;padding-bottom:2rem;\
font-size:.9rem}\
@media(max-width:40rem){h1{font-size:1.5rem}nav ul{columns:1}dl{display:block}\
dd{margin:0 0 .5rem}.wide td{min-width:5.2rem}.wide tbody th{min-width:0}\
.wide table:has(thead th:nth-child(5)){min-width:36rem}.drawing svg{min-width:34rem}.narrow svg{min-width:0}}";

const PRINT: &str = "\
@media print{body{font-size:10.5pt}header,main,footer{max-width:none;padding:0}nav,.skip,details\
{display:none}h2{break-after:avoid;margin-top:1.6rem}h3,caption{break-after:avoid}\
figure,.plain,.warn,dl.step{break-inside:avoid}tr{break-inside:avoid}thead{display:table-header-group}\
.wide,.drawing{overflow:visible}table{font-size:8.6pt}th,td{padding:.25rem .35rem}td,tbody th\
{min-width:0}a{color:inherit}figure svg{max-width:15cm}figure img{max-height:12cm}}";
