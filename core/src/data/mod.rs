//! Tables compiled in: everyday loads, standard cases; other rooms keep their own tables in this folder.
//! May use libm and the standard library; uses no other room.
//! Architecture invariant: every row of every table parses; a test reads them all.

pub mod cases;
pub mod loads;
pub(crate) mod usual;

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

/// Lower case without accents and apostrophes, for comparing names: the Latin letters that towns are written in.
pub(crate) fn plain(text: &str) -> String {
    let mut bare = String::with_capacity(text.len());
    for c in text.trim().chars().flat_map(char::to_lowercase) {
        let letter = match c {
            'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' | 'ā' | 'ă' | 'ą' | 'ạ' | 'ả' | 'ấ' | 'ầ' | 'ẩ'
            | 'ậ' => 'a',
            'ç' | 'ć' | 'č' => 'c',
            'ð' | 'đ' | 'ḍ' | 'ḑ' | 'ď' => 'd',
            'è' | 'é' | 'ê' | 'ë' | 'ē' | 'ę' | 'ě' | 'ė' | 'ế' | 'ệ' => 'e',
            'ğ' => 'g',
            'ḩ' | 'ẖ' => 'h',
            'ì' | 'í' | 'î' | 'ï' | 'ī' | 'ı' | 'ĩ' | 'ị' => 'i',
            'ķ' => 'k',
            'ł' | 'ļ' | 'ľ' => 'l',
            'ñ' | 'ń' | 'ň' | 'ņ' => 'n',
            'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' | 'ō' | 'ő' | 'ŏ' | 'ơ' | 'ọ' | 'ỏ' | 'ố' | 'ồ'
            | 'ộ' | 'ớ' | 'ờ' => 'o',
            'ř' => 'r',
            'ş' | 'ș' | 'š' | 'ś' => 's',
            'ţ' | 'ț' | 'ť' | 'ṯ' => 't',
            'ù' | 'ú' | 'û' | 'ü' | 'ū' | 'ů' | 'ű' | 'ŭ' | 'ũ' | 'ư' | 'ứ' | 'ủ' => {
                'u'
            }
            'ý' | 'ÿ' | 'ỳ' | 'ỹ' => 'y',
            'ž' | 'ź' | 'ż' | 'ẕ' => 'z',
            'ß' => {
                bare.push('s');
                's'
            }
            'æ' => {
                bare.push('a');
                'e'
            }
            'œ' => {
                bare.push('o');
                'e'
            }
            // Marks that stand by themselves, and apostrophes.
            '\u{300}'..='\u{36f}' | '\'' | '‘' | '’' | 'ʻ' | '`' => continue,
            c => c,
        };
        bare.push(letter);
    }
    bare
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
