//! What stands around every page: the shop's name, the ways, the title.

use std::sync::atomic::{AtomicU64, Ordering};

use super::asset;

/// The page group that is marked in the ways.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Here {
    /// Today.
    Today,
    /// Orders and one order.
    Orders,
    /// Clients and one client.
    Clients,
    /// The style book and one style.
    Styles,
    /// The shop's cloth and one cloth, the shopping list.
    Cloth,
    /// The shop's settings.
    Shop,
    /// No group: first run and errors; the ways are not shown.
    Nowhere,
}

const WAYS: [(&str, &str, Here); 6] = [
    ("/", "Today", Here::Today),
    ("/orders", "Orders", Here::Orders),
    ("/clients", "Clients", Here::Clients),
    ("/styles", "Style book", Here::Styles),
    ("/cloth", "Cloth", Here::Cloth),
    ("/shop", "Shop", Here::Shop),
];

/// The frame of a page.
#[derive(Clone, Debug)]
pub struct Frame {
    /// The page's own title.
    pub title: String,
    /// The shop's name; empty before the first run.
    pub shop: String,
    here: Here,
    form_key: String,
}

impl Frame {
    /// The frame of a page in this group.
    #[must_use]
    pub fn new(title: impl Into<String>, shop: impl Into<String>, here: Here) -> Frame {
        Frame { title: title.into(), shop: shop.into(), here, form_key: String::new() }
    }

    /// The frame with a key for the forms of this page, different each time it is shown.
    #[must_use]
    pub fn keyed(mut self, now_ms: i64) -> Frame {
        static SHOWN: AtomicU64 = AtomicU64::new(0);
        self.form_key = format!("{now_ms}-{}", SHOWN.fetch_add(1, Ordering::Relaxed));
        self
    }

    /// The key of one form of this page: sent twice, a form is done once.
    #[must_use]
    pub fn form(&self, name: &str) -> String {
        format!("{}-{name}", self.form_key)
    }

    /// The address of an asset.
    #[must_use]
    pub fn asset(&self, name: &str) -> String {
        asset::address(name)
    }

    /// Whether the ways are shown.
    #[must_use]
    pub fn has_nav(&self) -> bool {
        self.here != Here::Nowhere
    }

    /// Address, words and whether this page is in that group.
    pub fn ways(&self) -> impl Iterator<Item = (&'static str, &'static str, bool)> {
        let here = self.here;
        WAYS.into_iter().map(move |(address, words, way)| (address, words, way == here))
    }
}
