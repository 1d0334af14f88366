//! What works on classes, in words of the trade and within this process: the catalogue and the machines, briefs and their mistakes, change-overs,
//! pictures, changes that help.

mod change_overs;
mod reading;

mod conditions;
mod mistakes;
mod models;
mod mutilated;
mod picture;
mod relaxations;
mod scenarios;
mod session;
mod spotter;
