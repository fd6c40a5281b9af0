//! All that is said of the settings, put together.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};

use tracing::Level;

use super::layers::Layers;
use super::meaning::{self, LogFormat};
use super::setting::{Origin, Setting};
use super::written::{self, Written};
use super::{Config, Flags, Paper, Shop, Surroundings, feel, plugin_limits, shelf};
use crate::diagnostic::Diagnostic;
use crate::load::{self, Folder};
use crate::yaml::{self, Document, Limits, Text};

/// Where the file is, if nobody says otherwise: beside where the command is called.
const USUAL_FILE: &str = "config.yml";

/// Where the counter listens, if nobody says otherwise: only this machine reaches it.
const USUAL_ADDRESS: SocketAddr = SocketAddr::new(IpAddr::V4(Ipv4Addr::LOCALHOST), 8017);

/// What options, environment, file and defaults say together.
pub(super) fn assembled(
    flags: &Flags,
    around: &Surroundings<'_>,
) -> Result<Config, Vec<Diagnostic>> {
    let file = file(flags, around)?;
    let (document, written) = match &file.value {
        None => (None, Written::default()),
        Some(path) => read(path)?.map_or_else(
            || (None, Written::default()),
            |(document, written)| (Some(document), written),
        ),
    };
    let mut assembly = Assembly {
        flags,
        around,
        file,
        document,
        faults: Vec::new(),
    };
    let config = assembly.config(&written);
    if assembly.faults.is_empty() {
        Ok(config)
    } else {
        Err(assembly.faults)
    }
}

/// The locale for messages, by the order of POSIX (XBD, section 8.2); none where it is that of programs.
fn locale(around: &Surroundings<'_>) -> Option<String> {
    let variables = ["LC_ALL", "LC_MESSAGES", "LANG"];
    let locale = variables.iter().find_map(|name| around.variable(name));
    let names_none = |locale: &String| {
        let name = locale.split(['.', '@']).next().unwrap_or_default();
        matches!(name, "C" | "POSIX")
    };
    locale.filter(|locale| !names_none(locale))
}

/// The configuration file: one that is named must be there.
fn file(
    flags: &Flags,
    around: &Surroundings<'_>,
) -> Result<Setting<Option<PathBuf>>, Vec<Diagnostic>> {
    let variable = "COUNTERBORE_CONFIG";
    let (path, origin) = if let Some(path) = &flags.config {
        (around.folder.join(path), Origin::Flag("--config"))
    } else if let Some(path) = around.variable(variable) {
        (around.folder.join(path), Origin::Environment(variable))
    } else {
        let usual = around.folder.join(USUAL_FILE);
        // Even if it cannot be read: then reading says why.
        let there = usual.symlink_metadata().is_ok();
        return Ok(Setting::default(there.then_some(usual)));
    };
    if !path.exists() {
        let message = sentence!(
            "there is no configuration file {path}",
            path = path.display().to_string()
        );
        let fault = Diagnostic::error("no-config", origin.place(), message);
        return Err(vec![fault.hint(sentence!(
            "name one that is there, or leave the option out"
        ))]);
    }
    Ok(Setting {
        value: Some(path),
        origin,
    })
}

/// What the file says; none where it says nothing, as one of comments only.
fn read(path: &Path) -> Result<Option<(Document, Written)>, Vec<Diagnostic>> {
    let shown = path.display().to_string();
    let limits = Limits::PLUGIN;
    let bytes = load::read(path, &shown, limits.bytes).map_err(|fault| vec![fault])?;
    let document = match yaml::gate(&shown, &bytes, limits) {
        Err(faults) if faults.iter().all(|fault| fault.code == "empty") => return Ok(None),
        gated => gated?,
    };
    let written = yaml::decode(&document).map_err(|fault| vec![fault])?;
    Ok(Some((document, written)))
}

/// All that is said, on its way into one [`Config`].
struct Assembly<'a> {
    flags: &'a Flags,
    around: &'a Surroundings<'a>,
    file: Setting<Option<PathBuf>>,
    document: Option<Document>,
    faults: Vec<Diagnostic>,
}

impl Assembly<'_> {
    fn config(&mut self, written: &Written) -> Config {
        Config {
            file: self.file.clone(),
            language: self.language(written),
            locale: locale(self.around),
            bind: self.bind(written),
            plugins: self.plugins(written),
            tables: self.tables(written),
            shop: self.shop(written),
            card_into: self.card_into(written),
            card_paper: self.card_paper(written),
            templates: self.templates(written),
            feel: self.of_file("feel", written.feel.as_ref(), feel::feel),
            shelf: self.of_file("shelf", written.shelf.as_deref(), shelf::shelf),
            shelf_limits: self.of_file(
                "shelf_limits",
                written.shelf_limits.as_ref(),
                shelf::limits,
            ),
            plugin_limits: self.of_file_or(
                Limits::CATALOGUE,
                "plugin_limits",
                written.plugin_limits.as_ref(),
                plugin_limits::limits,
            ),
            allowed_hosts: self.allowed_hosts(written),
            log_level: self.log_level(written),
            log_format: self.log_format(written),
            public_address: self.public_address(written),
        }
    }

    fn bind(&mut self, written: &Written) -> Setting<SocketAddr> {
        let variable = "COUNTERBORE_BIND";
        self.layers(&["bind"], written.bind.as_ref())
            .environment(variable, self.around.variable(variable))
            .flag("--bind", self.flags.bind.clone())
            .read(
                USUAL_ADDRESS,
                |text| meaning::socket(&text),
                &mut self.faults,
            )
    }

    fn language(&mut self, written: &Written) -> Setting<Option<String>> {
        let variable = "COUNTERBORE_LANGUAGE";
        self.layers(&["language"], written.language.as_ref())
            .environment(variable, self.around.variable(variable))
            .flag("--language", self.flags.language.clone())
            .read(None, |text| meaning::language(&text), &mut self.faults)
    }

    fn plugins(&mut self, written: &Written) -> Setting<Vec<Folder>> {
        let variable = "COUNTERBORE_PLUGINS";
        let of_file = |texts: &Vec<Text>| texts.iter().map(|text| self.beside_file(text)).collect();
        let of_variable = self.around.variable(variable).map(|text| {
            std::env::split_paths(&text)
                .map(|path| self.called(&path))
                .collect()
        });
        let of_flags: Vec<Folder> = self
            .flags
            .plugins
            .iter()
            .map(|path| self.called(path))
            .collect();
        self.layers_of(&["plugins"], written.plugins.as_ref().map(of_file))
            .environment(variable, of_variable)
            .flag(
                "--plugins",
                Some(of_flags).filter(|folders| !folders.is_empty()),
            )
            .read(
                vec![Folder::BuiltIn],
                meaning::some_folders,
                &mut self.faults,
            )
    }

    fn tables(&mut self, written: &Written) -> Setting<Folder> {
        let variable = "COUNTERBORE_TABLES";
        let of_variable = self
            .around
            .variable(variable)
            .map(|text| self.called(text.as_ref()));
        let of_file = written.tables.as_ref().map(|text| self.beside_file(text));
        self.layers_of(&["tables"], of_file)
            .environment(variable, of_variable)
            .flag(
                "--tables",
                self.flags.tables.as_ref().map(|path| self.called(path)),
            )
            .read(Folder::BuiltIn, Ok, &mut self.faults)
    }

    fn shop(&mut self, written: &Written) -> Setting<Option<Shop>> {
        let logo = written.shop.as_ref().and_then(|shop| shop.logo.as_ref());
        let logo = logo.map(|text| self.base().join(&**text));
        self.of_file("shop", written.shop.as_ref(), |shop, _, _| {
            Some(meant(shop, logo))
        })
    }

    fn card_into(&mut self, written: &Written) -> Setting<Vec<String>> {
        let of_file = written.card.into.as_ref().map(|schemes| texts(schemes));
        self.layers_of(&["card", "into"], of_file).read(
            Vec::new(),
            |schemes| Ok(meaning::schemes(schemes)),
            &mut self.faults,
        )
    }

    fn card_paper(&mut self, written: &Written) -> Setting<Paper> {
        self.layers(&["card", "paper"], written.card.paper.as_ref())
            .read(
                Paper::default(),
                |text| meaning::paper(&text),
                &mut self.faults,
            )
    }

    fn templates(&mut self, written: &Written) -> Setting<Folder> {
        let variable = "COUNTERBORE_TEMPLATES";
        let of_variable = self
            .around
            .variable(variable)
            .map(|text| self.called(text.as_ref()));
        let of_file = written
            .templates
            .as_ref()
            .map(|text| self.beside_file(text));
        self.layers_of(&["templates"], of_file)
            .environment(variable, of_variable)
            .read(Folder::BuiltIn, Ok, &mut self.faults)
    }

    fn allowed_hosts(&mut self, written: &Written) -> Setting<Vec<String>> {
        let variable = "COUNTERBORE_ALLOWED_HOSTS";
        let of_file = written.allowed_hosts.as_ref();
        let of_variable = self.around.variable(variable);
        let split = |text: String| text.split(',').map(|host| host.trim().to_owned()).collect();
        self.layers_of(&["allowed_hosts"], of_file.map(|hosts| texts(hosts)))
            .environment(variable, of_variable.map(split))
            .read(
                Vec::new(),
                |hosts| hosts.iter().map(|host| meaning::host(host)).collect(),
                &mut self.faults,
            )
    }

    fn log_level(&mut self, written: &Written) -> Setting<Level> {
        let variable = "COUNTERBORE_LOG_LEVEL";
        self.layers(&["log", "level"], written.log.level.as_ref())
            .environment(variable, self.around.variable(variable))
            .flag("--log-level", self.flags.log_level.clone())
            .read(
                Level::INFO,
                |text| meaning::log_level(&text),
                &mut self.faults,
            )
    }

    fn log_format(&mut self, written: &Written) -> Setting<LogFormat> {
        let variable = "COUNTERBORE_LOG_FORMAT";
        self.layers(&["log", "format"], written.log.format.as_ref())
            .environment(variable, self.around.variable(variable))
            .flag("--log-format", self.flags.log_format.clone())
            .read(
                LogFormat::Human,
                |text| meaning::log_format(&text),
                &mut self.faults,
            )
    }

    fn public_address(&mut self, written: &Written) -> Setting<Option<String>> {
        let variable = "COUNTERBORE_PUBLIC_ADDRESS";
        self.layers(&["public_address"], written.public_address.as_ref())
            .environment(variable, self.around.variable(variable))
            .flag("--public-address", self.flags.public_address.clone())
            .read(
                None,
                |text| meaning::public_address(&text).map(Some),
                &mut self.faults,
            )
    }

    /// What the file says of a setting, as the weakest layer.
    fn layers(&self, keys: &[&str], written: Option<&Text>) -> Layers<String> {
        self.layers_of(keys, written.map(Text::to_string))
    }

    fn layers_of<V>(&self, keys: &[&str], written: Option<V>) -> Layers<V> {
        Layers::new(written.zip(self.origin(keys)))
    }

    fn origin(&self, keys: &[&str]) -> Option<Origin> {
        let path = keys
            .iter()
            .fold(yaml::Path::root(), |path, key| path.key(key));
        self.document
            .as_ref()
            .map(|document| Origin::File(document.place(&path)))
    }

    /// A setting that only the file can say.
    fn of_file<W: ?Sized, T: Default>(
        &mut self,
        key: &str,
        written: Option<&W>,
        read: impl FnOnce(&W, &Document, &mut Vec<Diagnostic>) -> T,
    ) -> Setting<T> {
        self.of_file_or(T::default(), key, written, read)
    }

    /// The same with another default than the type's.
    fn of_file_or<W: ?Sized, T>(
        &mut self,
        default: T,
        key: &str,
        written: Option<&W>,
        read: impl FnOnce(&W, &Document, &mut Vec<Diagnostic>) -> T,
    ) -> Setting<T> {
        let (Some(written), Some(document)) = (written, &self.document) else {
            return Setting::default(default);
        };
        let origin = Origin::File(document.place_of_key(&yaml::Path::root().key(key)));
        Setting {
            value: read(written, document, &mut self.faults),
            origin,
        }
    }

    /// A folder that an option or the environment names.
    fn called(&self, path: &Path) -> Folder {
        Folder::named(path, self.around.folder)
    }

    /// A folder that the file names.
    fn beside_file(&self, text: &str) -> Folder {
        Folder::named(text.as_ref(), self.base())
    }

    /// Where paths of the file start.
    fn base(&self) -> &Path {
        let file = self.file.value.as_deref();
        file.and_then(Path::parent).unwrap_or(Path::new(""))
    }
}

fn texts(texts: &[Text]) -> Vec<String> {
    texts.iter().map(Text::to_string).collect()
}

fn meant(shop: &written::Shop, logo: Option<PathBuf>) -> Shop {
    Shop {
        name: shop.name.to_string(),
        address: shop.address.as_ref().map(Text::to_string),
        lines: texts(&shop.lines),
        logo,
    }
}
