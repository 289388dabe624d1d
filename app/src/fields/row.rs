//! A part of the plan that fields read and change: one row of a list, or one of the plan's single parts.

use super::{Match, Number, Put, choice, clock, number, picker, text, tick};
use crate::state::desk::Desk;
use larder::plan::Plan;
use larder::units::Quantity;
use leptos::prelude::*;
use std::sync::Arc;

/// A part of the plan with its path. Its fields are redrawn only when the part itself changes.
pub struct Row<T: Send + Sync + 'static> {
    /// The desk.
    pub desk: Desk,
    /// Its path in the plan, such as `loads/3`.
    pub path: String,
    /// The part as it stands; none once it is removed.
    pub now: Memo<T>,
    find: Arc<dyn Fn(&mut Plan) -> Option<&mut T> + Send + Sync>,
}

impl<T: Send + Sync + 'static> Clone for Row<T> {
    fn clone(&self) -> Self {
        Self {
            desk: self.desk,
            path: self.path.clone(),
            now: self.now,
            find: self.find.clone(),
        }
    }
}

impl<T: Clone + Default + PartialEq + Send + Sync + 'static> Row<T> {
    /// A part that `get` reads and `find` reaches for a change.
    pub fn new(
        desk: Desk,
        path: impl Into<String>,
        get: impl Fn(&Plan) -> Option<&T> + Send + Sync + 'static,
        find: impl Fn(&mut Plan) -> Option<&mut T> + Send + Sync + 'static,
    ) -> Self {
        let now = Memo::new(move |last: Option<&T>| {
            desk.plan.with(|plan| {
                get(plan)
                    .cloned()
                    .or_else(|| last.cloned())
                    .unwrap_or_default()
            })
        });
        Self {
            desk,
            path: path.into(),
            now,
            find: Arc::new(find),
        }
    }

    fn put<V: 'static>(&self, set: impl Fn(&mut T, V) + Send + Sync + 'static) -> Put<V> {
        let find = self.find.clone();
        Arc::new(move |plan: &mut Plan, value: V| {
            if let Some(part) = find(plan) {
                set(part, value);
            }
        })
    }

    fn at(&self, name: &str) -> String {
        format!("{}/{name}", self.path)
    }

    /// Changes the part as one step.
    pub fn edit(&self, name: &str, change: impl FnOnce(&mut T)) {
        let find = self.find.clone();
        self.desk.edit(&self.at(name), move |plan| {
            if let Some(part) = find(plan) {
                change(part);
            }
        });
    }

    /// A number field.
    pub fn number(
        &self,
        name: &str,
        label: &str,
        quantity: Quantity,
        get: impl Fn(&T) -> f64 + Send + Sync + 'static,
        set: impl Fn(&mut T, f64) + Send + Sync + 'static,
    ) -> AnyView {
        let now = self.now;
        number(
            self.desk,
            Number {
                path: self.at(name),
                label: label.to_owned(),
                quantity,
                value: Memo::new(move |_| Some(now.with(|part| get(part)))),
                put: {
                    let put = self.put(move |part, value| set(part, value));
                    Arc::new(move |plan, value, _| {
                        if let Some(value) = value {
                            put(plan, value)
                        }
                    })
                },
                empty: None,
                shown: None,
            },
        )
    }

    /// A number field that may stand empty; what then counts is shown in its place.
    pub fn number_or(
        &self,
        name: &str,
        label: &str,
        quantity: Quantity,
        empty: Signal<String>,
        get: impl Fn(&T) -> Option<f64> + Send + Sync + 'static,
        set: impl Fn(&mut T, Option<f64>) + Send + Sync + 'static,
    ) -> AnyView {
        let now = self.now;
        number(
            self.desk,
            Number {
                path: self.at(name),
                label: label.to_owned(),
                quantity,
                value: Memo::new(move |_| now.with(|part| get(part))),
                put: {
                    let put = self.put(move |part, value| set(part, value));
                    Arc::new(move |plan, value, _| put(plan, value))
                },
                empty: Some(empty),
                shown: None,
            },
        )
    }

    /// A number field whose typed unit matters too.
    pub fn number_with_unit(
        &self,
        name: &str,
        label: &str,
        quantity: Quantity,
        get: impl Fn(&T) -> f64 + Send + Sync + 'static,
        shown: impl Fn(&T) -> Quantity + Send + Sync + 'static,
        set: impl Fn(&mut T, f64, Option<&str>) + Send + Sync + 'static,
    ) -> AnyView {
        let now = self.now;
        let find = self.find.clone();
        number(
            self.desk,
            Number {
                path: self.at(name),
                label: label.to_owned(),
                quantity,
                value: Memo::new(move |_| Some(now.with(|part| get(part)))),
                put: Arc::new(move |plan, value, unit| {
                    if let (Some(part), Some(value)) = (find(plan), value) {
                        set(part, value, unit);
                    }
                }),
                empty: None,
                shown: Some(Memo::new(move |_| now.with(|part| shown(part)))),
            },
        )
    }

    /// A clock field.
    pub fn clock(
        &self,
        name: &str,
        label: &str,
        get: impl Fn(&T) -> &str + Send + Sync + 'static,
        set: impl Fn(&mut T, String) + Send + Sync + 'static,
    ) -> AnyView {
        let now = self.now;
        clock(
            self.desk,
            self.at(name),
            label,
            Memo::new(move |_| now.with(|part| get(part).to_owned())),
            self.put(set),
        )
    }

    /// A text field.
    pub fn text(
        &self,
        name: &str,
        label: &str,
        get: impl Fn(&T) -> &str + Send + Sync + 'static,
        set: impl Fn(&mut T, String) + Send + Sync + 'static,
    ) -> AnyView {
        let now = self.now;
        text(
            self.desk,
            self.at(name),
            label,
            Memo::new(move |_| now.with(|part| get(part).to_owned())),
            self.put(set),
        )
    }

    /// A choice among words.
    pub fn choice<V: Copy + PartialEq + Send + Sync + 'static>(
        &self,
        name: &str,
        label: &str,
        options: Vec<(V, String)>,
        get: impl Fn(&T) -> V + Send + Sync + 'static,
        set: impl Fn(&mut T, V) + Send + Sync + 'static,
    ) -> AnyView {
        let now = self.now;
        let values: Vec<V> = options.iter().map(|(value, _)| *value).collect();
        let again = values.clone();
        let words = options.into_iter().map(|(_, word)| word).collect();
        let chosen = Memo::new(move |_| {
            let value = now.with(|part| get(part));
            again
                .iter()
                .position(|option| *option == value)
                .unwrap_or(0)
        });
        let put = self.put(set);
        let put_index: Put<usize> = Arc::new(move |plan, index| {
            if let Some(value) = values.get(index) {
                put(plan, *value);
            }
        });
        choice(self.desk, self.at(name), label, words, chosen, put_index)
    }

    /// A tick with its words.
    pub fn tick(
        &self,
        name: &str,
        words: &str,
        get: impl Fn(&T) -> bool + Send + Sync + 'static,
        set: impl Fn(&mut T, bool) + Send + Sync + 'static,
    ) -> AnyView {
        let now = self.now;
        tick(
            self.desk,
            self.at(name),
            words,
            Memo::new(move |_| now.with(|part| get(part))),
            self.put(set),
        )
    }

    /// A field with matches to pick from.
    pub fn picker(
        &self,
        name: &str,
        label: &str,
        get: impl Fn(&T) -> &str + Send + Sync + 'static,
        find: fn(&str) -> Vec<Match>,
        own: Option<fn(&str) -> String>,
        pick: impl Fn(&mut T, &str, Option<usize>) + Send + Sync + 'static,
    ) -> AnyView {
        let now = self.now;
        let put = self
            .put(move |part: &mut T, (text, at): (String, Option<usize>)| pick(part, &text, at));
        let path = self.at(name);
        let desk = self.desk;
        let at = path.clone();
        picker(
            path,
            label,
            "",
            Some(Memo::new(move |_| now.with(|part| get(part).to_owned()))),
            find,
            own,
            Callback::new(move |picked: (String, Option<usize>)| {
                desk.edit(&at, |plan| put(plan, picked))
            }),
        )
    }
}

/// One of the plan's single parts.
pub fn part<T: Clone + Default + PartialEq + Send + Sync + 'static>(
    desk: Desk,
    path: &str,
    get: fn(&Plan) -> &T,
    find: fn(&mut Plan) -> &mut T,
) -> Row<T> {
    Row::new(
        desk,
        path,
        move |plan| Some(get(plan)),
        move |plan| Some(find(plan)),
    )
}
