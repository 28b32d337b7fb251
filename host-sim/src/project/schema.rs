//! The JSON Schema of the show file, for editors and for the loader itself.

use std::sync::LazyLock;

use schemars::generate::SchemaSettings;
use serde_json::Value as Json;

use super::raw::RawFile;

static SCHEMA: LazyLock<Json> = LazyLock::new(|| {
    let schema = SchemaSettings::draft2020_12().into_generator().into_root_schema_for::<RawFile>();
    let mut json = Json::from(schema);
    drop_null(&mut json);
    json["title"] = Json::from("Underfoot show file");
    json
});

/// The JSON Schema (draft 2020-12) of the show file. Point an editor at it for completion and checks while typing.
pub fn schema() -> &'static Json {
    &SCHEMA
}

/// TOML has no null: a key is left out instead.
fn drop_null(json: &mut Json) {
    match json {
        Json::Object(map) => {
            if let Some(Json::Array(types)) = map.get_mut("type") {
                types.retain(|t| t != "null");
                if let [only] = types.as_slice() {
                    let only = only.clone();
                    map.insert("type".to_owned(), only);
                }
            }
            if let Some(Json::Array(branches)) = map.get_mut("anyOf") {
                branches.retain(|b| b.get("type") != Some(&Json::from("null")));
            }
            if map.get("default") == Some(&Json::Null) {
                map.remove("default");
            }
            map.values_mut().for_each(drop_null);
        }
        Json::Array(items) => items.iter_mut().for_each(drop_null),
        _ => {}
    }
}
