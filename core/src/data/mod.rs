//! Tables compiled in: everyday loads, towns, standard cases; other rooms keep their own tables in this folder.
//! May use libm and the standard library; uses no other room.
//! Architecture invariant: every row of every table parses; a test reads them all.

pub mod cases;
pub mod loads;
pub mod towns;

/// The cells of every row below the heading; lines that begin with `#` say where a table comes from.
pub(crate) fn rows(table: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    let lines = table
        .lines()
        .filter(|line| !line.starts_with('#') && !line.trim().is_empty());
    lines
        .skip(1)
        .map(|line| line.split(',').map(str::trim).collect())
}

/// How well a name answers what was typed: 0 best; none where it does not.
///
/// First the beginning of the name, then of one of its words, then any part, then its letters in order.
pub(crate) fn rank(name: &str, typed: &str) -> Option<u8> {
    let (name, typed) = (plain(name), plain(typed));
    if typed.is_empty() {
        return None;
    }
    if name.starts_with(&typed) {
        return Some(0);
    }
    if name.split([' ', '-']).any(|word| word.starts_with(&typed)) {
        return Some(1);
    }
    if name.contains(&typed) {
        return Some(2);
    }
    let mut letters = name.chars();
    let in_order = typed
        .chars()
        .filter(|c| *c != ' ')
        .all(|c| letters.any(|letter| letter == c));
    (in_order && typed.chars().count() > 2).then_some(3)
}

/// Lower case without the accents of the Latin letters that towns are written in.
fn plain(text: &str) -> String {
    let bare = |c: char| match c {
        'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' | 'ā' | 'ă' | 'ą' | 'À' | 'Á' | 'Â' | 'Ã' | 'Ä' | 'Å'
        | 'Ā' | 'Ă' | 'Ą' => 'a',
        'è' | 'é' | 'ê' | 'ë' | 'ē' | 'ę' | 'ě' | 'È' | 'É' | 'Ê' | 'Ë' | 'Ē' | 'Ę' | 'Ě' => {
            'e'
        }
        'ì' | 'í' | 'î' | 'ï' | 'ī' | 'ı' | 'Ì' | 'Í' | 'Î' | 'Ï' | 'Ī' | 'I' => 'i',
        'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' | 'ō' | 'ő' | 'Ò' | 'Ó' | 'Ô' | 'Õ' | 'Ö' | 'Ø' | 'Ō'
        | 'Ő' => 'o',
        'ù' | 'ú' | 'û' | 'ü' | 'ū' | 'ů' | 'ű' | 'Ù' | 'Ú' | 'Û' | 'Ü' | 'Ū' | 'Ů' | 'Ű' => {
            'u'
        }
        'ç' | 'ć' | 'č' | 'Ç' | 'Ć' | 'Č' => 'c',
        'ñ' | 'ń' | 'ň' | 'Ñ' | 'Ń' | 'Ň' => 'n',
        'ş' | 'ș' | 'š' | 'ś' | 'Ş' | 'Ș' | 'Š' | 'Ś' => 's',
        'ţ' | 'ț' | 'ť' | 'Ţ' | 'Ț' | 'Ť' => 't',
        'ž' | 'ź' | 'ż' | 'Ž' | 'Ź' | 'Ż' => 'z',
        'ý' | 'Ý' => 'y',
        'ł' | 'Ł' => 'l',
        'ř' | 'Ř' => 'r',
        'ğ' | 'Ğ' => 'g',
        'ḩ' | 'Ḩ' => 'h',
        c => c,
    };
    text.trim()
        .chars()
        .map(|c| bare(c).to_ascii_lowercase())
        .collect()
}

/// The entries that answer best, in the table's order within a rank.
pub(crate) fn search<'a, T>(
    entries: &'a [T],
    name: impl Fn(&T) -> &str,
    typed: &str,
    most: usize,
) -> Vec<&'a T> {
    let found: Vec<(u8, &T)> = entries
        .iter()
        .filter_map(|entry| Some((rank(name(entry), typed)?, entry)))
        .collect();
    let ranks: Vec<f64> = found.iter().map(|(rank, _)| f64::from(*rank)).collect();
    let best = crate::numeric::order(&ranks).into_iter().take(most);
    best.filter_map(|at| found.get(at).map(|(_, entry)| *entry))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn beginnings_come_before_middles_and_accents_do_not_matter() {
        assert_eq!(rank("water pump", "wat"), Some(0));
        assert_eq!(rank("water pump", "pum"), Some(1));
        assert_eq!(rank("water pump", "ump"), Some(2));
        assert_eq!(rank("water pump", "wtp"), Some(3));
        assert_eq!(rank("water pump", "xyz"), None);
        assert_eq!(rank("Tromsø", "tromso"), Some(0));
    }
}
