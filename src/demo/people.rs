//! The people of Port Ostrel who have clothes made. All of them are invented; any
//! likeness of a name is chance. Phone numbers are of the range that Ofcom keeps
//! free for drama (07700 900000 to 900999), addresses end in `.example` (RFC 2606).

use crate::shop::{ClientFacts, Wearer};

/// One of them.
#[derive(Clone, Copy, Debug)]
pub(super) struct Person {
    name: &'static str,
    known_as: &'static str,
    pub(super) wearer: Wearer,
    /// The place in the list of the one who pays and whose phone it is, counted back.
    mother: Option<usize>,
    mail: &'static str,
    note: &'static str,
    fit: &'static str,
    /// A figure note in the words of `measure::figure_notes`.
    pub(super) figure: &'static str,
    /// Whether the whole body was measured, not only waist and hip.
    pub(super) whole: bool,
}

impl Person {
    /// Whether this is a grown woman, and nobody's stand.
    pub(super) fn is_a_woman(&self) -> bool {
        self.wearer == Wearer::Woman && self.known_as != STAND
    }

    const fn called(self, known_as: &'static str) -> Person {
        Person { known_as, ..self }
    }

    const fn mail(self, mail: &'static str) -> Person {
        Person { mail, ..self }
    }

    const fn note(self, note: &'static str) -> Person {
        Person { note, ..self }
    }

    const fn fit(self, figure: &'static str, fit: &'static str) -> Person {
        Person { figure, fit, ..self }
    }

    const fn whole(self) -> Person {
        Person { whole: true, ..self }
    }
}

const fn person(name: &'static str, wearer: Wearer) -> Person {
    Person { name, known_as: "", wearer, mother: None, mail: "", note: "", fit: "", figure: "", whole: false }
}

const fn woman(name: &'static str) -> Person {
    person(name, Wearer::Woman)
}

const fn man(name: &'static str) -> Person {
    person(name, Wearer::Man)
}

/// A child of the person so many lines above.
const fn child(name: &'static str, above: usize) -> Person {
    Person { mother: Some(above), ..person(name, Wearer::Child) }
}

/// What the workroom calls the size that it keeps as a client.
const STAND: &str = "The stand";

/// All of them.
pub(super) const PEOPLE: &[Person] = &[
    woman("Abena Tetteh-Lund").mail("abena@tetteh-lund.example").whole().note("Lantern Stair 4. Pays by mobile money."),
    child("Adwoa Tetteh-Lund", 1).called("Adwoa").note("School of the Two Quays, grey and wine red."),
    child("Kwaku Tetteh-Lund", 2).called("Kwaku"),
    woman("Ольга Климова").called("Olga").whole().note("Pilot House, upper bell. After four o'clock."),
    child("Мила Климова", 1).called("Mila").note("Grows fast: leave a deep hem."),
    woman("Trần Thị Ngọc").called("Ngoc (say: nyawp)").whole(),
    child("Trần Linh", 1).called("Linh"),
    woman("Maren Solvik").mail("maren@solvik.example").whole().fit("Right shoulder low", "Pad the right shoulder."),
    woman("Zoë Achterberg").note("Net Loft Lane 17, second floor."),
    woman("王小梅").called("Xiaomei (say: shyow-may)").whole().fit("Flat seat", ""),
    woman("Leila Haddadin").mail("leila@haddadin.example").whole(),
    child("Nour Haddadin", 1).called("Nour"),
    child("Sami Haddadin", 2).called("Sami"),
    woman("Sunniva").note("One name only. Fish market, stall 9."),
    woman("Esi Quartey-Holm").whole().fit("Full abdomen", "Waistbands sit better 1/2 in lower in front."),
    woman("Halina Wójcicka").whole().fit("Hollow back", "Drop the centre back waist."),
    woman("Ama Serwaa Boadu").note("Leads the harbour choir: five alike each spring."),
    woman("Ινώ Καλλέργη").called("Ino"),
    woman("Fatoumata Diarra-Blom").whole().note("Brings her own wax print, always."),
    child("Awa Diarra-Blom", 1).called("Awa"),
    woman("Niamh O'Hare").mail("niamh@ohare.example").fit("Sloping shoulders", ""),
    woman("María José Peñarroja").whole(),
    woman("ብርሃን ገብረ").called("Birhan").whole(),
    woman("תמר אלון-גל").called("Tamar").mail("tamar@alon-gal.example"),
    woman("أمينة الصيّاد").called("Amina").whole().note("Sail Street 2. Please ring twice."),
    child("ليان الصيّاد", 1).called("Layan"),
    woman("Dorcas Lartey-Osei").fit("Right hip high", "Level the hem from the floor."),
    woman("Ingrid Bjarnholt").whole(),
    woman("Priya Ramanathan").whole().mail("priya@ramanathan.example"),
    woman("சித்ரா வேலன்").called("Chitra"),
    woman("Yaa").note("One name. Shares the phone of the bakery."),
    woman("Tove Hjellnes").whole().fit("Square shoulders", ""),
    woman("Hana Šedivá"),
    woman("Mireille Kouadio").whole().note("Customs Lane 11."),
    child("Inès Kouadio", 1).called("Inès"),
    woman("박하늘").called("Haneul").whole(),
    woman("Teuila Leota-Vai").whole().fit("Large upper arm", ""),
    woman("Rosalind Quay-Marsh").note("Keeps the lighthouse shop."),
    woman("Efua Dadzie-Krog").whole(),
    woman("ნინო ბერაძე").called("Nino"),
    woman("Gudrun Askvik").whole().fit("Stooped", "Back longer, front shorter than the table says."),
    woman("Temperance Oyebanji").mail("temperance@oyebanji.example"),
    woman("Lucía Ferrandis").whole(),
    woman("Catarina das Neves").note("Ferry crew: only Mondays and Tuesdays ashore."),
    woman("Akosua Pomaa").whole(),
    child("Yaw Pomaa", 1).called("Yaw"),
    woman("Jelena Đurić-Vuk").whole(),
    woman("Marguerite van den Hove").fit("Full seat", ""),
    woman("निर्मला शाक्य").called("Nirmala").whole(),
    woman("Bahar Yıldızlı").whole(),
    woman("Nokuthula Mthimkulu-Berg").called("Thuli").whole(),
    woman("Signe").note("One name. Ropewalk 30, the blue door."),
    woman("สุดา แก้วมณี").called("Suda"),
    woman("Araba Pettigrew").whole().fit("Left hip high", "Sits to be fitted: her knee."),
    woman("Constance Ayivor-Lynd"),
    woman("Hélène Tournay-Aske").whole().mail("helene@tournay-aske.example"),
    woman("Rūta Kalnė").whole(),
    woman("Philippa Gannet").note("Shares the phone of her neighbour Signe."),
    woman("Binta Jallow-Strand").whole(),
    child("Isatou Jallow-Strand", 1).called("Isatou"),
    woman("Salote Havea-Lind").whole(),
    man("Kwabena Tetteh-Lund").whole().note("Husband of Abena; collects for her too."),
    man("Tomasz Wójcicki").note("Cook at the Anchor Rooms: aprons by the half dozen."),
    man("Ebo Quansah-Dale").whole(),
    man("陈海").called("Hai"),
    man("Einar").note("One name. Boat Ternen, berth 12."),
    man("Yusuf Kaplanoğlu-Wren").mail("yusuf@kaplanoglu-wren.example").whole(),
    person("Stand, size 14", Wearer::Woman).called(STAND).note("Our own: samples for the window."),
];

/// The person in this place.
pub(super) fn at(place: usize) -> Option<&'static Person> {
    PEOPLE.get(place)
}

/// Places of those who order for themselves, in the order of the list.
pub(super) fn payers() -> Vec<usize> {
    (0..PEOPLE.len()).filter(|place| at(*place).is_some_and(|person| person.mother.is_none())).collect()
}

/// Places of the children of this person.
pub(super) fn children(payer: usize) -> Vec<usize> {
    let is_child = |place: &usize| {
        at(*place).and_then(|person| person.mother).is_some_and(|above| place.checked_sub(above) == Some(payer))
    };
    (0..PEOPLE.len()).filter(is_child).collect()
}

/// What is written about the person in this place.
pub(super) fn facts(place: usize, person: &Person) -> ClientFacts {
    // A child has its mother's phone, and so has whoever says so in the note.
    let shares = person.mother.is_some() || person.note.contains("Shares the phone");
    let number = place - person.mother.unwrap_or(0);
    let number = if person.name.starts_with("Philippa") { place_of("Signe") } else { number };
    let shared = shares || !children(place).is_empty() || person.name == "Signe";
    // Nobody rings the stand.
    let phone = if person.known_as == STAND { String::new() } else { format!("07700 900{:03}", 100 + number * 7) };
    ClientFacts {
        known_as: person.known_as.into(),
        phone,
        phone_shared: shared,
        email: person.mail.into(),
        note: person.note.into(),
        fit_notes: person.fit.into(),
        wearer: person.wearer,
        ..ClientFacts::named(person.name)
    }
}

fn place_of(name: &str) -> usize {
    PEOPLE.iter().position(|person| person.name == name).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::figure_notes;

    #[test]
    fn every_child_stands_below_a_grown_person() {
        for (place, person) in PEOPLE.iter().enumerate() {
            if let Some(above) = person.mother {
                let payer = at(place - above).unwrap();
                assert!(payer.mother.is_none() && payer.wearer == Wearer::Woman, "{}", person.name);
                assert!(children(place - above).contains(&place), "{}", person.name);
            }
        }
    }

    #[test]
    fn names_stand_once_and_figure_notes_are_known() {
        let names: std::collections::BTreeSet<_> = PEOPLE.iter().map(|person| person.name).collect();
        assert_eq!(names.len(), PEOPLE.len());
        assert!(PEOPLE.len() >= 60);
        for person in PEOPLE.iter().filter(|person| !person.figure.is_empty()) {
            assert!(figure_notes().iter().any(|note| note.words == person.figure), "{}", person.figure);
        }
    }
}
