//! Pieces laid on cloth, checked, and the length to buy.
