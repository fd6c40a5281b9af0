//! A counter set up in a folder of its own, which goes away with it.

use std::fs;
use std::path::{Path, PathBuf};

use counterbore::config::{Config, Flags, Surroundings};
use counterbore::diagnostic::Diagnostic;
use counterbore::snapshot::Snapshot;
use tempfile::TempDir;

/// A folder with `config.yml` and an empty folder `plugins`; tables are those of the program.
pub struct Shop {
    folder: TempDir,
}

impl Shop {
    pub fn new() -> Self {
        let shop = Self {
            folder: tempfile::tempdir().unwrap(),
        };
        fs::create_dir(shop.path("plugins")).unwrap();
        shop.write("config.yml", "plugins: [plugins]\n");
        shop
    }

    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).unwrap();
    }

    pub fn try_config(&self, flags: &Flags) -> Result<Config, Vec<Diagnostic>> {
        self.config_in(flags, &|_| None)
    }

    pub fn config_in(
        &self,
        flags: &Flags,
        environment: &dyn Fn(&str) -> Option<String>,
    ) -> Result<Config, Vec<Diagnostic>> {
        Config::load(
            flags,
            &Surroundings {
                folder: self.folder(),
                environment,
            },
        )
    }

    pub fn config(&self) -> Config {
        self.try_config(&Flags::default()).unwrap()
    }

    pub fn snapshot(&self) -> Snapshot {
        Snapshot::load(&self.config()).unwrap()
    }
}

/// A small scheme that can be used. Invented.
pub fn scheme(id: &str, revision: &str) -> String {
    format!(
        r#"scheme: {id}
title: {id} (invented)
serves: [trumpet]
revision: "{revision}"
source: invented
figures:
  rim:
    quantity: rim inner diameter
    method: seam
    unit: 0.1 mm
    grid: {{from: 155, to: 170, step: 5}}
    tolerance: 0.03 mm
stamps:
  - part: one-piece
    template: "{prefix} {{rim}}"
examples:
  - {{stamp: "{prefix} 165", says: {{rim: "165"}}}}
"#,
        prefix = id[..2].to_uppercase()
    )
}
