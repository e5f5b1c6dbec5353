//! Which verb of `palinode case` does what.

use super::{
    CaseCommand, amend, ask, bench, check, file, photo, restore, review, show, stack, start,
    treatment,
};
use crate::cli::Exit;
use crate::cli::output::Output;

pub(in crate::cli) fn run(command: CaseCommand, output: &mut Output) -> Exit {
    match command {
        CaseCommand::New { case, title, facts } => start::new(&file(&case), title, *facts, output),
        CaseCommand::Object { case, title, facts } => {
            start::object(&file(&case), title, *facts, output)
        }
        CaseCommand::Layer {
            case,
            layers,
            above,
            note,
            by,
            over,
        } => stack::layer(&file(&case), &layers, (above, note), &by, &over, output),
        CaseCommand::Unknown {
            case,
            noun,
            called,
            over,
            restored,
            note,
            by,
            corpus,
        } => {
            let unknown = stack::NewUnknown {
                noun,
                called,
                over,
                restored,
                note,
            };
            stack::unknown(&file(&case), unknown, &by, &corpus, output)
        }
        CaseCommand::Observe {
            case,
            unknown,
            seen,
            noting,
            over,
        } => bench::observe(&file(&case), &unknown, &seen, noting, &over, output),
        CaseCommand::Trial {
            case,
            layer,
            seen,
            noting,
            over,
        } => bench::trial(&file(&case), &layer, &seen, noting, &over, output),
        CaseCommand::Ask {
            case,
            question,
            dry,
            by,
            with,
        } => ask::run(&file(&case), &question.join(" "), dry, &by, &with, output),
        CaseCommand::Propose {
            case,
            what,
            from,
            step,
            risk,
            noting,
        } => {
            let fields = [
                ("what", Some(what)),
                ("from", from),
                ("step", step),
                ("risk", risk),
            ];
            treatment::propose(&file(&case), fields, noting, output)
        }
        CaseCommand::Decide {
            case,
            what,
            because,
            on,
            noting,
        } => {
            let fields = [("on", on), ("what", Some(what)), ("because", Some(because))];
            treatment::decide(&file(&case), fields, noting, output)
        }
        CaseCommand::Use {
            case,
            material,
            purpose,
            strength,
            solvent,
            amount,
            batch,
            under,
            noting,
        } => {
            let fields = [
                ("material", Some(material)),
                ("purpose", purpose),
                ("strength", strength),
                ("solvent", solvent),
                ("amount", amount),
                ("batch", batch),
                ("under", under),
            ];
            treatment::used(&file(&case), fields, noting, output)
        }
        CaseCommand::Deviate {
            case,
            what,
            because,
            from,
            noting,
        } => {
            let fields = [
                ("from", from),
                ("what", Some(what)),
                ("because", Some(because)),
            ];
            treatment::deviate(&file(&case), fields, noting, output)
        }
        CaseCommand::Photo {
            case,
            file: picture,
            shows,
            light,
            of,
            noting,
        } => {
            let picture = photo::Picture {
                file: picture,
                shows,
                light,
                of,
            };
            photo::run(&file(&case), picture, noting, output)
        }
        CaseCommand::Amend {
            case,
            id,
            key,
            value,
            by,
            over,
        } => amend::amend(&file(&case), (&id, &key, &value), &by, &over, output),
        CaseCommand::Withdraw {
            case,
            id,
            because,
            by,
        } => amend::withdraw(&file(&case), &id, &because, &by, output),
        CaseCommand::Show { case, format } => show::run(&file(&case), format, output),
        CaseCommand::Review {
            case,
            questions,
            update,
            by,
            with,
        } => review::run(&file(&case), &questions, update, &by, &with, output),
        CaseCommand::Check { case, over } => check::run(&file(&case), &over, output),
        CaseCommand::Restore { case } => restore::run(&file(&case), output),
    }
}
