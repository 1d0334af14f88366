//! Lower bounds on what is still to be paid: what each relaxes and why it is one.

pub mod all;
pub mod backward;
pub mod charges;
pub mod forward;
pub mod layer;
pub mod leftout;
pub mod simple;
pub mod table;
pub mod to_go;
