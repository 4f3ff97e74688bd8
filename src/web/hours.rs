//! Hours at work on each weekday, as a row of seven fields: `6`, `6.5`, `6:30`.

use super::fields::{Field, Fields, Notes};

const DAYS: [&str; 7] = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];

/// The seven fields with the names of their days.
#[must_use]
pub fn rows(fields: &Fields, notes: &Notes) -> Vec<(Field, &'static str)> {
    DAYS.iter().enumerate().map(|(day, words)| (Field::sent(&name(day), fields, notes), *words)).collect()
}

/// The fields as typed for these minutes.
#[must_use]
pub fn typed(minutes: &[u32; 7]) -> Vec<(String, String)> {
    minutes.iter().enumerate().map(|(day, minutes)| (name(day), text(*minutes))).collect()
}

/// Reads the seven fields into minutes; what is no time is noted.
pub fn read(fields: &Fields, notes: &mut Notes) -> [u32; 7] {
    let mut week = [0; 7];
    for (day, minutes) in week.iter_mut().enumerate() {
        let field = name(day);
        match minutes_of(fields.text(&field)) {
            Some(read) => *minutes = read,
            None => notes.add(
                &field,
                format!(
                    "“{}” is no time of at most 24 hours. Write hours such as 6, 6.5 or 6:30; 0 for a closed day.",
                    fields.text(&field)
                ),
            ),
        }
    }
    if notes.is_empty() && week.iter().all(|minutes| *minutes == 0) {
        notes.add(&name(0), "A week without an hour leaves no day to promise. Write the hours of at least one day.");
    }
    week
}

/// Minutes as hours: `6`, `6:30`.
#[must_use]
pub fn text(minutes: u32) -> String {
    match minutes % 60 {
        0 => (minutes / 60).to_string(),
        rest => format!("{}:{rest:02}", minutes / 60),
    }
}

fn name(day: usize) -> String {
    format!("hours.{day}")
}

fn minutes_of(text: &str) -> Option<u32> {
    let minutes = if let Some((hours, minutes)) = text.split_once([':', 'h']) {
        let minutes: u32 = if minutes.is_empty() { 0 } else { minutes.parse().ok()? };
        hours.trim().parse::<u32>().ok()?.checked_mul(60)?.checked_add(minutes)?
    } else if let Some((hours, part)) = text.split_once(['.', ',']) {
        // Tenths and hundredths of an hour, to the minute.
        let hundredths: u32 = match part.len() {
            1 => part.parse::<u32>().ok()? * 10,
            2 => part.parse().ok()?,
            _ => return None,
        };
        hours.parse::<u32>().ok()?.checked_mul(60)?.checked_add((hundredths * 60 + 50) / 100)?
    } else {
        text.parse::<u32>().ok()?.checked_mul(60)?
    };
    (minutes <= 24 * 60).then_some(minutes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_are_read_in_the_ways_people_write_them() {
        for (text, minutes) in
            [("6", 360), ("6:30", 390), ("6.5", 390), ("6,25", 375), ("0", 0), ("8h", 480), ("24", 1440)]
        {
            assert_eq!(minutes_of(text), Some(minutes), "{text}");
        }
        for text in ["", "-1", "25", "six", "6.", "6:3x", "99999999999"] {
            assert_eq!(minutes_of(text), None, "{text}");
        }
    }

    #[test]
    fn a_week_without_hours_is_noted() {
        let fields = Fields::of(typed(&[0; 7]));
        let mut notes = Notes::default();
        read(&fields, &mut notes);
        assert!(notes.at("hours.0").is_some());
    }
}
