//! Facts: people, clients, orders, garments, stages, money, settings.
