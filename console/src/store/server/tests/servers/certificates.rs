//! Certificates of invented servers.

use rcgen::{BasicConstraints, CertificateParams, DnType, IsCa, Issuer, KeyPair, date_time_ymd};

/// A certificate and its key, both PEM.
pub(super) struct Certified {
    pub(super) certificate: String,
    pub(super) key: String,
}

/// A root of its own, which signs certificates of servers.
pub(super) struct Root {
    pub(super) own: Certified,
    issuer: Issuer<'static, KeyPair>,
}

impl Root {
    pub(super) fn new(name: &str) -> Self {
        let mut params = CertificateParams::new([]).unwrap();
        params.distinguished_name.push(DnType::CommonName, name);
        params.is_ca = IsCa::Ca(BasicConstraints::Unconstrained);
        let key = KeyPair::generate().unwrap();
        let certificate = params.self_signed(&key).unwrap().pem();
        let own = Certified { certificate, key: key.serialize_pem() };
        Self { own, issuer: Issuer::new(params, key) }
    }

    /// One for these hosts, which held or holds until the end of a year.
    pub(super) fn signs(&self, hosts: &[&str], from: i32, until: i32) -> Certified {
        let hosts: Vec<_> = hosts.iter().map(|host| (*host).to_owned()).collect();
        let mut params = CertificateParams::new(hosts).unwrap();
        (params.not_before, params.not_after) = (date_time_ymd(from, 1, 1), date_time_ymd(until, 12, 31));
        let key = KeyPair::generate().unwrap();
        Certified {
            certificate: params.signed_by(&key, &self.issuer).unwrap().pem(),
            key: key.serialize_pem(),
        }
    }
}
