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

/// Writes markup into an element in which other markup, or none, was written before.
pub fn rewrite(element: &Element, had: &str, now: &str) {
    if had == now {
        return;
    }
    let known = pieces(had).zip(pieces(now));
    let Some((had, new)) = known.filter(|(had, new)| had.len() == new.len()) else {
        element.set_inner_html(now);
        return;
    };
    let pairs = had.iter().zip(&new).zip(0..);
    let other: Vec<_> = pairs
        .filter(|((had, new), _)| had.whole != new.whole)
        .collect();
    // Many small ones cost more than all at once.
    if new.len() > 4 && other.len() * 2 > new.len() {
        element.set_inner_html(now);
        return;
    }
    let children = element.children();
    for ((had, new), at) in other {
        let Some(child) = children.item(at) else {
            continue;
        };
        if had.tag == new.tag {
            rewrite(&child, had.inside, new.inside);
        } else {
            child.set_outer_html(new.whole);
        }
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
        assert_eq!(of("plain"), None);
        assert_eq!(of("<a>plain</a> and <b/>"), None);
    }
}
