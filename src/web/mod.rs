//! Routes, forms, pages.
//!
//! A request for a page goes: facts in one read transaction → view struct of
//! ready-to-show text → template. A form goes: raw strings → `TryFrom` → typed
//! action → store in one transaction → redirect; when something is wrong the
//! form comes back with 422, the typed text kept and a note at the field.
//!
//! `app` gives the whole service; listener, clock and shutdown come from outside
//! (`run` brings the listener and Ctrl-C). Files without a route: `guard`, `state`,
//! `fault`, `asset`, `frame`, `desk` are under every page; `fields`, `length_entry`,
//! `hours`, `choices`, `*_form` read forms; `tape`, `drawing`, `*_view`, `writing`
//! are what pages are made of; `tries` holds the lays that are being tried shorter (`trying` is
//! its page), `lay_of` reads from an address what is laid (a cloth of a garment, or several garments), `laying` and
//! `together` read its facts, `lay_shown` says which lay pages and papers show; `order_draft` is where pages meet the cores, for the style
//! book `style_preview` and `style_body`.

mod asset;
mod choices;
mod client;
mod client_edit;
mod client_form;
mod clients;
mod cloth;
mod cloth_fields;
mod cloth_width;
mod cloths;
mod correction_form;
mod corrections;
mod cut_away;
mod desk;
mod draft_view;
mod drawing;
mod fault;
mod fields;
mod first_run;
mod fitting;
mod fitting_form;
mod fittings_view;
mod frame;
mod from_shelf;
mod garment_cloth;
mod garment_form;
mod garment_view;
mod guard;
mod held;
mod hours;
mod joint;
mod joint_cloth;
mod lay_of;
mod lay_paper;
mod lay_picture;
mod lay_shown;
mod laying;
mod leaf;
mod length_entry;
mod line_changes;
mod measures_table;
mod money_view;
mod order;
mod order_draft;
mod order_form;
mod order_line;
mod order_money;
mod order_moves;
mod order_new;
mod order_style;
mod orders;
mod overlay;
mod own_lengths;
mod path;
mod pattern;
mod reckoned;
mod run;
mod sheet;
mod sheet_column;
mod sheet_lay;
mod sheet_piece;
mod shop;
mod shop_form;
mod shopping;
mod stages;
mod standing;
mod state;
mod stock;
mod stock_form;
mod stock_view;
mod style_body;
mod style_compare;
mod style_copy;
mod style_edit;
mod style_everyone;
mod style_guide;
mod style_picture;
mod style_preview;
mod style_versions;
mod styles;
mod tape;
mod there;
mod to_lay;
mod today;
mod together;
mod tries;
mod trying;
mod usual_body;
mod writing;

use axum::Router;
use axum::middleware;
use axum::routing::{get, post};
use tower_http::catch_panic::CatchPanicLayer;

pub use run::run;
pub use state::{App, Clock};

/// Every page and asset, behind the checks that each request passes.
pub fn app(state: App) -> Router {
    Router::new()
        .route("/", get(today::show))
        .route("/shop/open", get(first_run::show).post(first_run::answer))
        .route("/shop", get(shop::show).post(shop::keep))
        .route("/clients", get(clients::show).post(client_edit::add))
        .route("/clients/new", get(client_edit::new))
        .route("/clients/{id}", get(client::show))
        .route("/clients/{id}/edit", get(client_edit::show).post(client_edit::change))
        .route("/clients/{id}/fitting", get(fitting::show).post(fitting::keep))
        .route("/clients/{id}/fitting/check", get(fitting::check))
        .route("/clients/{id}/corrections", get(corrections::show).post(corrections::keep))
        .route("/clients/{id}/corrections/{correction}/end", post(corrections::end))
        .route("/orders", get(orders::show).post(order_new::take))
        .route("/orders/new", get(order_new::new))
        .route("/orders/{number}", get(order::show))
        .route("/orders/{number}/edit", get(order_new::edit).post(order_new::change))
        .route("/orders/{number}/standing", post(order_moves::standing))
        .route("/orders/{number}/payment", post(order_money::payment))
        .route("/orders/{number}/payment/{payment}/void", post(order_money::void))
        .route("/orders/{number}/fitting", post(order_moves::arrange))
        .route("/orders/{number}/fitting/{fitting}", post(order_moves::fitting))
        .route("/orders/{number}/charge", post(order_money::charge))
        .route("/orders/{number}/garment", get(order_new::new_garment).post(order_new::add_garment))
        .route("/orders/{number}/{letter}", get(sheet::garment))
        .route("/orders/{number}/{letter}/sheet", get(sheet::show))
        .route("/orders/{number}/{letter}/edit", get(order_new::edit_garment).post(order_new::change_garment))
        .route("/orders/{number}/{letter}/cloth", get(cloth::show))
        .route("/orders/{number}/{letter}/cloth/trying", get(trying::show).post(trying::begin))
        .route("/orders/{number}/{letter}/cloth/trying/events", get(trying::events))
        .route("/orders/{number}/{letter}/cloth/trying/lay.svg", get(trying::picture))
        .route("/orders/{number}/{letter}/cloth/trying/stop", post(trying::stop))
        .route("/orders/{number}/{letter}/cloth/fold", post(cloth::fold))
        .route("/orders/{number}/{letter}/cloth/width", post(cloth_width::write))
        .route("/orders/{number}/{letter}/cloth/accept", post(trying::accept))
        .route("/orders/{number}/{letter}/cloth/again", post(trying::set_aside))
        .route("/orders/{number}/{letter}/lay", get(lay_paper::show))
        .route("/orders/{number}/{letter}/lay.pdf", get(lay_paper::plot))
        .route("/orders/{number}/{letter}/lay.svg", get(cloth::picture))
        .route("/orders/{number}/{letter}/pattern.pdf", get(pattern::show))
        .route("/orders/{number}/{letter}/piece/{piece}", get(pattern::piece))
        .route("/orders/{number}/{letter}/stage", post(order_moves::stage))
        .route("/orders/{number}/{letter}/cancel", post(order_moves::cancel))
        .route("/orders/{number}/{letter}/measures", post(order_moves::measures))
        .route("/orders/{number}/{letter}/corrections", post(order_moves::corrections))
        .route("/orders/{number}/{letter}/style", post(order_style::take))
        .route("/cloth/joint", get(joint::show))
        .route("/cloth/joint/lay", get(lay_paper::show))
        .route("/cloth/joint/lay.pdf", get(lay_paper::plot))
        .route("/cloth/joint/lay.svg", get(joint::picture))
        .route("/cloth/joint/trying", get(trying::show).post(trying::begin))
        .route("/cloth/joint/trying/events", get(trying::events))
        .route("/cloth/joint/trying/lay.svg", get(trying::picture))
        .route("/cloth/joint/trying/stop", post(trying::stop))
        .route("/cloth/joint/accept", post(trying::accept))
        .route("/cloth/joint/again", post(trying::set_aside))
        .route("/orders/{number}/{letter}/held", post(held::change))
        .route("/cloth", get(cloths::show))
        .route("/cloth/new", get(stock_form::new).post(stock_form::add))
        .route("/cloth/shopping", get(shopping::show))
        .route("/cloth/{id}", get(stock::show))
        .route("/cloth/{id}/edit", get(stock_form::show).post(stock_form::change))
        .route("/cloth/{id}/retire", post(stock::retire))
        .route("/cloth/{id}/length", post(stock::came))
        .route("/cloth/{id}/length/{length}", post(stock::length))
        .route("/styles", get(styles::show))
        .route("/styles/guide", get(style_guide::show))
        .route("/styles/import", get(style_copy::import_form).post(style_copy::import))
        .route("/styles/{key}", get(styles::one))
        .route("/styles/{key}/edit", get(style_edit::show).post(style_edit::answer))
        .route("/styles/{key}/versions", get(style_versions::list))
        .route("/styles/{key}/versions/{number}", get(style_versions::one).post(style_versions::choose))
        .route("/styles/{key}/compare", get(style_compare::show))
        .route("/styles/{key}/copy", get(style_copy::show).post(style_copy::copy))
        .route("/styles/{key}/file", get(style_versions::file))
        .route("/styles/{key}/retire", post(style_versions::retire))
        .route("/styles/{key}/everyone", get(style_everyone::show))
        .route("/static/{name}", get(asset::serve))
        .fallback(fault::no_such_page)
        .method_not_allowed_fallback(fault::no_such_move)
        .layer(CatchPanicLayer::custom(fault::broken_down))
        .layer(middleware::from_fn(guard::check))
        .with_state(state)
}
