//! A small HTTP client: one request a connection, no redirects followed.

use std::collections::BTreeMap;
use std::net::SocketAddr;

use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

/// A request, made by hand.
#[derive(Debug)]
pub struct Request {
    method: &'static str,
    path: String,
    host: Option<String>,
    headers: Vec<(String, String)>,
    body: Vec<u8>,
}

impl Request {
    /// A request without a body.
    pub fn new(method: &'static str, path: &str) -> Self {
        let path = path.split('#').next().unwrap_or(path).to_owned();
        Self {
            method,
            path,
            host: None,
            headers: Vec::new(),
            body: Vec::new(),
        }
    }

    /// Names another host than the one it is sent to.
    pub fn host(mut self, host: &str) -> Self {
        self.host = Some(host.to_owned());
        self
    }

    /// With one more header.
    pub fn header(mut self, name: &str, value: &str) -> Self {
        self.headers.push((name.to_owned(), value.to_owned()));
        self
    }

    /// With a form's fields as its body.
    pub fn form(mut self, fields: &[(&str, &str)]) -> Self {
        let pairs: Vec<String> = fields
            .iter()
            .map(|(n, v)| format!("{}={}", encoded(n), encoded(v)))
            .collect();
        self.body = pairs.join("&").into_bytes();
        self.header("Content-Type", "application/x-www-form-urlencoded")
    }

    /// With boxes and files, as a form that takes files sends them: `(box, file name, what is in it)`.
    pub fn files(mut self, fields: &[(&str, &str)], files: &[(&str, &str, &[u8])]) -> Self {
        const BETWEEN: &str = "----between-the-boxes";
        for (name, value) in fields {
            let head =
                format!("--{BETWEEN}\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n");
            self.body
                .extend([head.as_bytes(), value.as_bytes(), b"\r\n"].concat());
        }
        for (name, file, bytes) in files {
            let head = format!(
                "--{BETWEEN}\r\nContent-Disposition: form-data; name=\"{name}\"; filename=\"{file}\"\r\nContent-Type: image/jpeg\r\n\r\n"
            );
            self.body
                .extend([head.as_bytes(), *bytes, b"\r\n"].concat());
        }
        self.body.extend(format!("--{BETWEEN}--\r\n").as_bytes());
        self.header(
            "Content-Type",
            &format!("multipart/form-data; boundary={BETWEEN}"),
        )
    }

    /// With JSON as its body, as a script sends it.
    pub fn json(mut self, json: &str) -> Self {
        self.body = json.as_bytes().to_owned();
        self.header("Content-Type", "application/json")
            .header("Accept", "application/json")
    }

    /// Sends it.
    pub async fn send(self, address: SocketAddr) -> Page {
        let host = self.host.unwrap_or_else(|| address.to_string());
        let mut text = format!(
            "{} {} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n",
            self.method, self.path
        );
        if !self.headers.iter().any(|(name, _)| name == "Accept") {
            text.push_str("Accept: text/html\r\n");
        }
        for (name, value) in &self.headers {
            text.push_str(&format!("{name}: {value}\r\n"));
        }
        text.push_str(&format!("Content-Length: {}\r\n\r\n", self.body.len()));
        let mut stream = TcpStream::connect(address).await.expect("the app listens");
        stream
            .write_all(text.as_bytes())
            .await
            .expect("the request goes out");
        stream
            .write_all(&self.body)
            .await
            .expect("the body goes out");
        let mut bytes = Vec::new();
        stream
            .read_to_end(&mut bytes)
            .await
            .expect("the answer comes in");
        Page::read(format!("{} {}", self.method, self.path), &bytes)
    }
}

fn encoded(text: &str) -> String {
    text.bytes()
        .map(|b| match b {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'_' | b'.' => {
                char::from(b).to_string()
            }
            b' ' => "+".to_owned(),
            _ => format!("%{b:02X}"),
        })
        .collect()
}

/// An answer.
#[derive(Clone, Debug)]
pub struct Page {
    asked: String,
    /// The status.
    pub status: u16,
    headers: BTreeMap<String, String>,
    /// The page as it came.
    pub body: String,
    /// The same, byte for byte.
    pub bytes: Vec<u8>,
}

impl Page {
    fn read(asked: String, bytes: &[u8]) -> Self {
        let text = String::from_utf8_lossy(bytes);
        let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let mut lines = head.lines();
        let status = lines
            .next()
            .and_then(|l| l.split(' ').nth(1))
            .and_then(|s| s.parse().ok())
            .unwrap_or(0);
        let headers = lines
            .filter_map(|l| l.split_once(": "))
            .map(|(n, v)| (n.to_ascii_lowercase(), v.to_owned()))
            .collect();
        Self {
            asked,
            status,
            headers,
            body: body.to_owned(),
            bytes: bytes
                .windows(4)
                .position(|w| w == b"\r\n\r\n")
                .and_then(|at| bytes.get(at + 4..))
                .unwrap_or_default()
                .to_vec(),
        }
    }

    /// A header; empty when it is not there.
    pub fn header(&self, name: &str) -> &str {
        self.headers.get(name).map_or("", String::as_str)
    }

    /// It has this status.
    #[track_caller]
    pub fn is(&self, status: u16) -> &Self {
        assert_eq!(
            self.status,
            status,
            "{} answered {}:\n{}",
            self.asked,
            self.status,
            self.words()
        );
        self
    }

    /// It leads to this address.
    #[track_caller]
    pub fn leads_to(&self, address: &str) -> &Self {
        self.is(303);
        assert_eq!(self.header("location"), address, "{}", self.asked);
        self
    }

    /// These words are on it.
    #[track_caller]
    pub fn shows(&self, words: &str) -> &Self {
        assert!(
            self.body.contains(words),
            "{} does not show “{words}”:\n{}",
            self.asked,
            self.words()
        );
        self
    }

    /// These words are nowhere on it, hidden or not.
    #[track_caller]
    pub fn lacks(&self, words: &str) -> &Self {
        assert!(!self.body.contains(words), "{} holds “{words}”", self.asked);
        self
    }

    /// The text between two others, the first time it comes.
    pub fn between(&self, before: &str, after: &str) -> Option<&str> {
        let rest = self.body.split_once(before)?.1;
        Some(rest.split_once(after)?.0)
    }

    /// The page without its tags.
    pub fn words(&self) -> String {
        let mut words = String::new();
        let mut inside = false;
        for c in self.body.chars() {
            match c {
                '<' => inside = true,
                '>' => inside = false,
                c if !inside => words.push(c),
                _ => {}
            }
        }
        words.split_whitespace().collect::<Vec<_>>().join(" ")
    }
}
