//! Markup on the page, of which only what has changed is written anew: to parse, to style and to lay out a whole picture costs
//! more than all else about it.

use wasm_bindgen::JsCast;
use web_sys::Element;

/// An element of markup: its first tag and what stands inside it.
struct Piece<'a> {
    whole: &'a str,
    tag: &'a str,
    inside: &'a str,
}

/// The elements that markup of ours is made of, one after another; none where it holds text beside them. Ours is well formed: it
/// closes every tag, and no attribute holds a `>`.
fn pieces(markup: &str) -> Option<Vec<Piece<'_>>> {
    let mut pieces = Vec::new();
    let (mut depth, mut start, mut inside, mut at) = (0usize, 0, 0, 0);
    while at < markup.len() {
        let rest = markup.get(at..)?;
        if !rest.starts_with('<') {
            if depth == 0 {
                return None;
            }
            at += rest.find('<')?;
            continue;
        }
        let end = at + rest.find('>')? + 1;
        let (closes, alone) = (rest.starts_with("</"), markup.get(..end)?.ends_with("/>"));
        if depth == 0 {
            (start, inside) = (at, end);
        }
        if closes {
            depth = depth.checked_sub(1)?;
        } else if !alone {
            depth += 1;
        }
        if depth == 0 {
            pieces.push(Piece {
                whole: markup.get(start..end)?,
                tag: markup.get(start..inside)?,
                inside: markup.get(inside..at).unwrap_or_default(),
            });
        }
        at = end;
    }
    Some(pieces)
}

/// The attributes of a tag, name and value; none where a value holds what markup writes otherwise.
fn attributes(tag: &str) -> Option<Vec<(&str, &str)>> {
    if tag.contains('&') {
        return None;
    }
    let mut parts = tag.split('"');
    let mut attributes = Vec::new();
    while let (Some(name), Some(value)) = (parts.next(), parts.next()) {
        let name = name.trim_end_matches('=');
        attributes.push((name.rsplit(' ').next()?, value));
    }
    Some(attributes)
}

fn name_of(tag: &str) -> Option<&str> {
    tag.split([' ', '>']).next()
}

/// Writes the attributes that have changed; whether that makes one tag the other.
fn retag(element: &Element, had: &str, now: &str) -> bool {
    let Some((of_had, of_now)) = attributes(had).zip(attributes(now)) else {
        return false;
    };
    let pairs = of_had.iter().zip(&of_now);
    let alike = name_of(had) == name_of(now)
        && of_had.len() == of_now.len()
        && pairs.clone().all(|((had, _), (now, _))| had == now);
    if alike {
        for (_, (name, value)) in pairs.filter(|(had, now)| had != now) {
            let _ = element.set_attribute(name, value);
        }
    }
    alike
}

/// Writes markup into an element in which other markup, or none, was written before.
pub fn rewrite(element: &Element, had: &str, now: &str) {
    if had == now {
        return;
    }
    let is_text = |markup: &str| !markup.is_empty() && !markup.contains(['<', '&']);
    if is_text(had) && is_text(now) {
        if let Some(text) = element.first_child() {
            text.set_node_value(Some(now));
        }
        return;
    }
    let known = pieces(had).zip(pieces(now));
    let Some((had, new)) = known.filter(|(had, new)| had.len() == new.len()) else {
        element.set_inner_html(now);
        return;
    };
    let children = element.children();
    for ((had, new), at) in had.iter().zip(&new).zip(0..) {
        if had.whole == new.whole {
            continue;
        }
        let Some(child) = children.item(at) else {
            continue;
        };
        if had.tag != new.tag && !retag(&child, had.tag, new.tag) {
            element.set_inner_html(now);
            return;
        }
        rewrite(&child, had.inside, new.inside);
    }
}

/// Writes markup into an element of the page, as [`rewrite`] does.
pub fn rewrite_in(element: &impl JsCast, had: &str, now: &str) {
    if let Some(element) = element.dyn_ref::<Element>() {
        rewrite(element, had, now);
    }
}

#[cfg(test)]
mod tests {
    use super::pieces;

    #[test]
    fn markup_falls_into_its_elements() {
        let of = |markup| {
            let pieces = pieces(markup)?.into_iter();
            Some(pieces.map(|it| (it.tag, it.inside)).collect::<Vec<_>>())
        };
        assert_eq!(of(""), Some(vec![]));
        assert_eq!(
            of(r#"<g><a>&lt;</a><b x="1"/></g><c/><d></d>"#),
            Some(vec![
                ("<g>", r#"<a>&lt;</a><b x="1"/>"#),
                ("<c/>", ""),
                ("<d>", "")
            ])
        );
        assert_eq!(
            super::attributes(r#"<a class="b c" x="1"/>"#),
            Some(vec![("class", "b c"), ("x", "1")])
        );
        assert_eq!(super::attributes("<a>"), Some(vec![]));
        assert_eq!(of("plain"), None);
        assert_eq!(of("<a>plain</a> and <b/>"), None);
    }
}
