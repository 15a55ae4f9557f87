//! How far what is sent to a server is kept from others, and by what it is known who answers.
//!
//! The modes are named as libpq names them (PostgreSQL 15's documentation, §34.19.1). Where none is said, a book that
//! comes over a network wants [`Mode::VerifyFull`], since names of people and passwords go that way; on this machine
//! nothing leaves it, and what the server has is used ([`Mode::Prefer`]). A socket knows no TLS. [`Mode::Require`] is
//! libpq's: nobody listens, but who answers is not looked at, unless a file of roots was named.

use rustls::client::WebPkiServerVerifier;
use rustls::client::danger::{HandshakeSignatureValid, ServerCertVerified, ServerCertVerifier};
use rustls::crypto::{CryptoProvider, ring, verify_tls12_signature, verify_tls13_signature};
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, ServerName, UnixTime};
use rustls::{CertificateError, ClientConfig, DigitallySignedStruct, Error, RootCertStore, SignatureScheme};
use std::fmt;
use std::path::PathBuf;
use std::sync::Arc;
use tokio_postgres_rustls::MakeRustlsConnect;

/// What is asked of the way to the server.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Mode {
    /// No TLS.
    Disable,
    /// TLS where the server has it, whoever it is.
    Prefer,
    /// TLS, whoever answers.
    Require,
    /// TLS with a server that has a certificate of a known root.
    VerifyCa,
    /// The same, and the certificate is of the host that was asked for.
    VerifyFull,
}

impl Mode {
    const NAMES: [(Self, &'static str); 5] = [
        (Self::Disable, "disable"),
        (Self::Prefer, "prefer"),
        (Self::Require, "require"),
        (Self::VerifyCa, "verify-ca"),
        (Self::VerifyFull, "verify-full"),
    ];

    pub(super) fn named(name: &str) -> Option<Self> {
        Self::NAMES.iter().find(|(_, known)| *known == name).map(|(mode, _)| *mode)
    }

    pub(super) fn name(self) -> &'static str {
        Self::NAMES.iter().find(|(mode, _)| *mode == self).map_or("", |(_, name)| name)
    }
}

/// Which roots a server's certificate may go back to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Roots {
    /// The operating system's.
    System,
    /// Those in a file of PEM blocks.
    File(PathBuf),
}

impl Roots {
    pub(super) fn named(text: &str) -> Self {
        if text == "system" { Self::System } else { Self::File(text.into()) }
    }
}

impl fmt::Display for Roots {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::System => f.write_str("system"),
            Self::File(file) => file.display().fmt(f),
        }
    }
}

/// Why there are no roots to go by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct NoRoots {
    /// Where they were looked for.
    pub(super) roots: Roots,
    /// What was found instead.
    pub(super) why: String,
}

/// What makes the TLS to a server that is asked for by `mode`; `roots` are looked at by the modes that verify.
pub(super) fn connector(mode: Mode, roots: &Roots) -> Result<MakeRustlsConnect, NoRoots> {
    let provider = Arc::new(ring::default_provider());
    let of_root = match mode {
        Mode::Disable | Mode::Prefer | Mode::Require => None,
        Mode::VerifyCa | Mode::VerifyFull => {
            let why = |why: String| NoRoots { roots: roots.clone(), why };
            let store = Arc::new(store(roots).map_err(why)?);
            let verifier = WebPkiServerVerifier::builder_with_provider(store, Arc::clone(&provider));
            Some(verifier.build().map_err(|error| why(error.to_string()))?)
        }
    };
    let verifier = Verifier { of_root, of_host: mode == Mode::VerifyFull, provider: Arc::clone(&provider) };
    let config = ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .map_err(|error| NoRoots { roots: roots.clone(), why: error.to_string() })?
        .dangerous()
        .with_custom_certificate_verifier(Arc::new(verifier))
        .with_no_client_auth();
    Ok(MakeRustlsConnect::new(config))
}

fn store(roots: &Roots) -> Result<RootCertStore, String> {
    let mut store = RootCertStore::empty();
    match roots {
        Roots::System => {
            let found = rustls_native_certs::load_native_certs();
            store.add_parsable_certificates(found.certs);
            if let (true, Some(error)) = (store.is_empty(), found.errors.first()) {
                return Err(error.to_string());
            }
        }
        Roots::File(file) => {
            let text = std::fs::read(file).map_err(|error| error.to_string())?;
            for certificate in CertificateDer::pem_slice_iter(&text) {
                let certificate = certificate.map_err(|error| error.to_string())?;
                store.add(certificate).map_err(|error| error.to_string())?;
            }
        }
    }
    if store.is_empty() { Err("no certificate is there".to_owned()) } else { Ok(store) }
}

/// Looks at who answers as closely as the mode asks for. Whoever answers must have the key of the certificate, always, since a
/// password is bound to that; but for a certificate that cannot be read, which serves where nobody looks at it.
#[derive(Debug)]
struct Verifier {
    /// What looks for the root; `None` where any certificate will do.
    of_root: Option<Arc<WebPkiServerVerifier>>,
    /// Whether the certificate has to be of the host.
    of_host: bool,
    provider: Arc<CryptoProvider>,
}

impl Verifier {
    fn unless_unread(
        &self,
        verified: Result<HandshakeSignatureValid, Error>,
    ) -> Result<HandshakeSignatureValid, Error> {
        match verified {
            Err(Error::InvalidCertificate(CertificateError::Other(_))) if self.of_root.is_none() => {
                Ok(HandshakeSignatureValid::assertion())
            }
            other => other,
        }
    }
}

impl ServerCertVerifier for Verifier {
    fn verify_server_cert(
        &self,
        certificate: &CertificateDer<'_>,
        between: &[CertificateDer<'_>],
        host: &ServerName<'_>,
        stapled: &[u8],
        now: UnixTime,
    ) -> Result<ServerCertVerified, Error> {
        let Some(of_root) = &self.of_root else { return Ok(ServerCertVerified::assertion()) };
        // The host is looked at last, so that a certificate of another host is sound in all else.
        match of_root.verify_server_cert(certificate, between, host, stapled, now) {
            Err(Error::InvalidCertificate(
                CertificateError::NotValidForName | CertificateError::NotValidForNameContext { .. },
            )) if !self.of_host => Ok(ServerCertVerified::assertion()),
            other => other,
        }
    }

    fn verify_tls12_signature(
        &self,
        message: &[u8],
        certificate: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        let algorithms = &self.provider.signature_verification_algorithms;
        self.unless_unread(verify_tls12_signature(message, certificate, signed, algorithms))
    }

    fn verify_tls13_signature(
        &self,
        message: &[u8],
        certificate: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        let algorithms = &self.provider.signature_verification_algorithms;
        self.unless_unread(verify_tls13_signature(message, certificate, signed, algorithms))
    }

    fn supported_verify_schemes(&self) -> Vec<SignatureScheme> {
        self.provider.signature_verification_algorithms.supported_schemes()
    }
}
