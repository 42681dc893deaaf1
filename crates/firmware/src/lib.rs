//! Plan and machine form to a C project for the controller.
