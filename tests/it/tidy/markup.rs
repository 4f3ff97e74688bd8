//! What the strict content policy would block, found in markup: `style=` and `on…=`
//! attributes, script or style written between its tags, `javascript:` links.

/// Each fault as `line: what`. Template commands (`{% … %}`, `{{ … }}`, `{# … #}`) count
/// as blanks, so that a condition between attributes hides none of them.
pub fn faults(text: &str) -> Vec<String> {
    let text = without_commands(text);
    let mut faults = Vec::new();
    let mut at = 0;
    while let Some(open) = text[at..].find('<').map(|found| at + found) {
        let line = text[..open].matches('\n').count() + 1;
        let inside = &text[open + 1..];
        let name: String = inside.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
        if name.is_empty() {
            at = open + 1;
            continue;
        }
        let (attributes, used) = attributes(&inside[name.len()..]);
        for (key, value) in &attributes {
            if key == "style" || (key.len() > 2 && key.starts_with("on")) {
                faults.push(format!("{line}: <{name}> has the attribute {key}="));
            }
            if value.trim_start().to_ascii_lowercase().starts_with("javascript:") {
                faults.push(format!("{line}: <{name} {key}> is a javascript: address"));
            }
        }
        let outside = attributes.iter().any(|(key, value)| key == "src" && !value.is_empty());
        if name.eq_ignore_ascii_case("style") || (name.eq_ignore_ascii_case("script") && !outside) {
            faults.push(format!("{line}: <{name}> written into the page"));
        }
        at = open + 1 + name.len() + used;
    }
    faults
}

/// The text with each template command blanked, lines kept. A command that stands for
/// a value keeps one letter, so that `src="{{ … }}"` is not empty.
fn without_commands(text: &str) -> String {
    let mut rest = text;
    let mut kept = String::new();
    while let Some(start) = rest.find('{') {
        let ends = match rest.as_bytes().get(start + 1) {
            Some(b'%') => "%}",
            Some(b'{') => "}}",
            Some(b'#') => "#}",
            _ => {
                kept.push_str(&rest[..=start]);
                rest = &rest[start + 1..];
                continue;
            }
        };
        let Some(end) = rest[start..].find(ends).map(|found| start + found + 2) else { break };
        kept.push_str(&rest[..start]);
        kept.push_str(if ends == "}}" { "v" } else { " " });
        kept.extend(rest[start..end].chars().filter(|c| *c == '\n'));
        rest = &rest[end..];
    }
    kept + rest
}

/// The attributes up to the tag's `>`, names in lower case, and how far the tag reached.
fn attributes(text: &str) -> (Vec<(String, String)>, usize) {
    let mut found = Vec::new();
    let mut at = 0;
    loop {
        let rest = &text[at..];
        let blank = rest.len() - rest.trim_start_matches(|c: char| c.is_whitespace() || c == '/').len();
        at += blank;
        let rest = &text[at..];
        if rest.is_empty() || rest.starts_with('>') {
            return (found, at);
        }
        let key: String = rest.chars().take_while(|c| !c.is_whitespace() && !"=>/".contains(*c)).collect();
        at += key.len().max(1);
        let rest = &text[at..];
        let Some(value) = rest.trim_start().strip_prefix('=').map(str::trim_start) else {
            found.push((key.to_ascii_lowercase(), String::new()));
            continue;
        };
        at += rest.len() - value.len();
        let (value, used) = match value.chars().next() {
            Some(quote @ ('"' | '\'')) => {
                let inner = &value[1..];
                let end = inner.find(quote).unwrap_or(inner.len());
                (&inner[..end], (end + 2).min(value.len()))
            }
            _ => {
                let end = value.find(|c: char| c.is_whitespace() || c == '>').unwrap_or(value.len());
                (&value[..end], end)
            }
        };
        at += used;
        found.push((key.to_ascii_lowercase(), value.to_string()));
    }
}
