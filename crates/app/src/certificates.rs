//! A certificate of the workshop's own, so that phones that trust it have https: made once, kept in the data folder, good
//! for private addresses and local names alone, so that a stolen key can stand in for nothing else.

use std::net::IpAddr;
use std::path::Path;
use std::sync::Arc;

use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DistinguishedName, DnType,
    ExtendedKeyUsagePurpose, GeneralSubtree, IsCa, Issuer, KeyPair, KeyUsagePurpose,
    NameConstraints,
};
use records::Stamp;
use rustls::pki_types::{CertificateDer, PrivateKeyDer};

use crate::refusal::Refusal;

/// Where they lie in the data folder.
const FOLDER: &str = "certificates";
/// How long the workshop's own certificate holds, days: ten years, for each phone has to be told anew after that.
const OWN_DAYS: i64 = 3650;
/// How long the one shown to browsers holds, days: what phones accept at the most is 397.
const SHOWN_DAYS: i64 = 390;
/// Networks that are nobody's but the workshop's.
const PRIVATE: [([u8; 4], [u8; 4]); 5] = [
    ([10, 0, 0, 0], [255, 0, 0, 0]),
    ([172, 16, 0, 0], [255, 240, 0, 0]),
    ([192, 168, 0, 0], [255, 255, 0, 0]),
    ([169, 254, 0, 0], [255, 255, 0, 0]),
    ([127, 0, 0, 0], [255, 0, 0, 0]),
];

/// The workshop's own authority: what a phone is asked to trust, and what signs for this machine's names.
#[derive(Debug)]
pub(crate) struct Authority {
    /// The certificate that phones are given.
    pub(crate) pem: String,
    der: CertificateDer<'static>,
    key: String,
    local: Vec<String>,
}

fn fault(what: &str, error: impl std::fmt::Display) -> Refusal {
    Refusal::other(format!("{what}: {error}"))
}

impl Authority {
    /// Reads it from the data folder, or makes it there.
    ///
    /// # Errors
    /// When it can be neither read nor written.
    pub(crate) fn in_folder(data: &Path) -> Result<Self, Refusal> {
        let folder = data.join(FOLDER);
        let (own, key) = (folder.join("workshop.pem"), folder.join("workshop.key"));
        let local = local_names();
        if let (Ok(pem), Ok(key)) = (std::fs::read_to_string(&own), std::fs::read_to_string(&key)) {
            return Self::of(pem, key, local);
        }
        std::fs::create_dir_all(&folder)
            .map_err(|e| fault("the certificates cannot be kept", e))?;
        let pair = KeyPair::generate().map_err(|e| fault("no key can be made", e))?;
        let made = params(&local)
            .self_signed(&pair)
            .map_err(|e| fault("no certificate can be made", e))?;
        let cannot = |e| fault("the certificates cannot be kept", e);
        write_secret(&key, &pair.serialize_pem()).map_err(cannot)?;
        std::fs::write(&own, made.pem()).map_err(cannot)?;
        Self::of(made.pem(), pair.serialize_pem(), local)
    }

    fn of(pem: String, key: String, local: Vec<String>) -> Result<Self, Refusal> {
        use rustls::pki_types::pem::PemObject;
        let der = CertificateDer::from_pem_slice(pem.as_bytes()).map_err(|e| {
            fault(
                "certificates/workshop.pem cannot be read; take it away and start again",
                e,
            )
        })?;
        Ok(Self {
            pem,
            der,
            key,
            local,
        })
    }

    /// What a server shows browsers for these names: those that this authority may sign for.
    ///
    /// # Errors
    /// When the key in the folder is none.
    pub(crate) fn config(&self, hosts: &[String]) -> Result<Arc<rustls::ServerConfig>, Refusal> {
        let says = |e: rcgen::Error| fault("no certificate can be made for this machine", e);
        let own = KeyPair::from_pem(&self.key).map_err(says)?;
        let issuer = Issuer::new(params(&self.local), own);
        let pair = KeyPair::generate().map_err(says)?;
        let mut shown = CertificateParams::new(self.names(hosts)).map_err(says)?;
        shown.distinguished_name = name("gaugeglass, this machine");
        shown.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
        shown.use_authority_key_identifier_extension = true;
        good_for(&mut shown, SHOWN_DAYS);
        let made = shown.signed_by(&pair, &issuer).map_err(says)?;
        let key = PrivateKeyDer::try_from(pair.serialize_der())
            .map_err(|e| fault("no certificate can be made for this machine", e))?;
        let provider = Arc::new(rustls::crypto::ring::default_provider());
        let mut config = rustls::ServerConfig::builder_with_provider(provider)
            .with_safe_default_protocol_versions()
            .and_then(|b| {
                b.with_no_client_auth()
                    .with_single_cert(vec![made.der().clone(), self.der.clone()], key)
            })
            .map_err(|e| fault("https cannot be served", e))?;
        config.alpn_protocols = vec![b"http/1.1".to_vec()];
        Ok(Arc::new(config))
    }

    /// The names without their ports, as far as they are local.
    fn names(&self, hosts: &[String]) -> Vec<String> {
        let mut names: Vec<String> = hosts
            .iter()
            .filter_map(|host| host.rsplit_once(':'))
            .map(|(name, _)| name.trim_matches(['[', ']']).to_owned())
            .filter(|name| self.may_sign(name))
            .collect();
        names.sort();
        names.dedup();
        names
    }

    fn may_sign(&self, name: &str) -> bool {
        match name.parse() {
            Ok(IpAddr::V4(ip)) => ip.is_private() || ip.is_loopback() || ip.is_link_local(),
            Ok(IpAddr::V6(ip)) => ip.is_unique_local(),
            Err(_) => self.local.iter().any(|l| l == name) || name.ends_with(".local"),
        }
    }
}

fn params(local: &[String]) -> CertificateParams {
    let mut own = CertificateParams::default();
    own.distinguished_name = name("gaugeglass, this workshop");
    own.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    own.key_usages = vec![KeyUsagePurpose::KeyCertSign, KeyUsagePurpose::CrlSign];
    let mut may: Vec<GeneralSubtree> = local.iter().cloned().map(GeneralSubtree::DnsName).collect();
    may.push(GeneralSubtree::DnsName("local".to_owned()));
    may.extend(PRIVATE.map(|(net, mask)| GeneralSubtree::IpAddress(CidrSubnet::V4(net, mask))));
    let mut unique = [0; 16];
    unique[0] = 0xfc;
    let mut mask = [0; 16];
    mask[0] = 0xfe;
    may.push(GeneralSubtree::IpAddress(CidrSubnet::V6(unique, mask)));
    own.name_constraints = Some(NameConstraints {
        permitted_subtrees: may,
        excluded_subtrees: Vec::new(),
    });
    good_for(&mut own, OWN_DAYS);
    own
}

fn name(common: &str) -> DistinguishedName {
    let mut name = DistinguishedName::new();
    name.push(DnType::CommonName, common);
    name
}

/// This machine's own names.
fn local_names() -> Vec<String> {
    let own = std::fs::read_to_string("/etc/hostname").unwrap_or_default();
    let mut names = vec!["localhost".to_owned()];
    if !own.trim().is_empty() {
        names.push(own.trim().to_owned());
    }
    names
}

/// Good from yesterday, for a phone's clock may be behind, and for so many days.
fn good_for(params: &mut CertificateParams, days: i64) {
    let ymd = |from_now: i64| {
        let day = Stamp::now().plus_days(from_now).day();
        let mut parts = day.iso().splitn(3, '-');
        let year = parts.next().and_then(|y| y.parse().ok()).unwrap_or(2026);
        let mut small = || parts.next().and_then(|n| n.parse().ok()).unwrap_or(1);
        rcgen::date_time_ymd(year, small(), small())
    };
    params.not_before = ymd(-1);
    params.not_after = ymd(days);
}

/// Writes what nobody else on this machine may read.
fn write_secret(path: &Path, text: &str) -> std::io::Result<()> {
    use std::io::Write;
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o600);
    }
    options.open(path)?.write_all(text.as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_made_once_and_signs_for_local_names_alone() {
        let folder = std::env::temp_dir().join(format!("gaugeglass-cert-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        let first = Authority::in_folder(&folder).unwrap();
        let again = Authority::in_folder(&folder).unwrap();
        assert_eq!(first.pem, again.pem);
        let hosts = [
            "192.168.1.20:8018",
            "localhost:8018",
            "shed.local:8018",
            "8.8.8.8:8018",
            "bank.test:8018",
            "[::1]:8018",
        ];
        let hosts: Vec<String> = hosts.iter().map(|h| (*h).to_owned()).collect();
        assert_eq!(
            again.names(&hosts),
            ["192.168.1.20", "localhost", "shed.local"]
        );
        again.config(&hosts).unwrap();
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let key = std::fs::metadata(folder.join(FOLDER).join("workshop.key")).unwrap();
            assert_eq!(key.permissions().mode() & 0o777, 0o600);
        }
        let _ = std::fs::remove_dir_all(&folder);
    }
}
