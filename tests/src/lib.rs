//! Shared oracles and scenarios of the cross-crate tests.

pub mod decoders;
pub mod device;
pub mod dice;
pub mod document;
pub mod faces;
pub mod fix_words;
pub mod golden;
pub mod meeting_case;
pub mod meeting_oracle;
pub mod mock_floor;
pub mod oracle;
pub mod random_scene;
pub mod random_views;
pub mod route_case;
pub mod route_judge;
pub mod route_oracle;
pub mod route_stage;
pub mod sight_oracle;
pub mod sight_scene;
pub mod verify;
pub mod wasm_module;
pub mod zone_case;
pub mod zone_field;
pub mod zone_oracle;
pub mod zone_stage;
