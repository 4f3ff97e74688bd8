//! What stands around every page: the shop's name, the ways, the title.

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
    /// The shop's settings.
    Shop,
    /// No group: first run and errors; the ways are not shown.
    Nowhere,
}

const WAYS: [(&str, &str, Here); 5] = [
    ("/", "Today", Here::Today),
    ("/orders", "Orders", Here::Orders),
    ("/clients", "Clients", Here::Clients),
    ("/styles", "Style book", Here::Styles),
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
}

impl Frame {
    /// The frame of a page in this group.
    #[must_use]
    pub fn new(title: impl Into<String>, shop: impl Into<String>, here: Here) -> Frame {
        Frame { title: title.into(), shop: shop.into(), here }
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
