//! An entry out of a phone's outbox, as its script sends it.

use crate::Request;

/// One entry of a phone: its key, its number on that phone, the moment it is of, and the boxes of the form.
#[derive(Clone, Copy, Debug)]
pub struct FromPhone<'a> {
    /// The phone.
    pub device: &'a str,
    /// The key, made at the press.
    pub key: &'a str,
    /// Its number on that phone.
    pub n: i64,
    /// The moment, unix milliseconds.
    pub at_ms: i64,
    /// The boxes.
    pub fields: &'a [(&'a str, &'a str)],
}

impl FromPhone<'_> {
    /// The request, from a page of this host.
    pub fn request(&self, host: &str) -> Request {
        let (at, n) = (self.at_ms.to_string(), self.n.to_string());
        let mut form = self.fields.to_vec();
        form.extend([
            ("key", self.key),
            ("device", self.device),
            ("device_page", "p1"),
            ("n", n.as_str()),
            ("wall_ms", at.as_str()),
            ("mono_ms", "5000"),
            ("at_ms", at.as_str()),
            ("offset_ms", "0"),
            ("u_ms", "40"),
            ("sure", "yes"),
        ]);
        Request::new("POST", "/trials/1/entries")
            .header("Origin", &format!("http://{host}"))
            .header("Accept", "application/json")
            .form(&form)
    }
}
