//! `kill -9` during a storm of entries, round after round: was anything lost that was acknowledged?
//!
//! `kill-storm [ROUNDS]` prints one line of figures. Each round starts the program on the same data
//! folder, lets four hands post entries as fast as they can, kills it at a moment of chance, and
//! counts. At the end the folder is opened again and every acknowledged key must be there with the
//! text that was acknowledged, once.

use std::collections::{HashMap, HashSet};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

const HANDS: usize = 4;
const TRIAL: &str = "/trials/1/entries";

/// What was acknowledged: key and the id that the program gave.
type Acked = Arc<Mutex<HashMap<String, String>>>;

#[tokio::main]
async fn main() {
    let rounds: u32 = std::env::args()
        .nth(1)
        .and_then(|n| n.parse().ok())
        .unwrap_or(100);
    let folder = tempfile::tempdir().expect("a folder for the storm");
    prepare(folder.path()).await;
    let acked = Acked::default();
    let sent = Arc::new(Mutex::new(0_u64));
    for round in 0..rounds {
        storm(folder.path(), round, &acked, &sent);
    }
    let acked = acked.lock().expect("no hand has died").clone();
    let sent = *sent.lock().expect("no hand has died");
    let (rows, doubled, lost) = count(folder.path(), &acked).await;
    let verified = Command::new(program())
        .args(["verify", "--data"])
        .arg(folder.path())
        .output()
        .expect("the program runs");
    let chain = String::from_utf8_lossy(&verified.stdout);
    println!(
        "kill-storm: {rounds} rounds, {sent} sent, {} acknowledged, {rows} rows, doubled {doubled}, lost {lost}; {}",
        acked.len(),
        chain.trim()
    );
    let enough = acked.len() > usize::try_from(rounds).unwrap_or(0);
    if lost > 0 || doubled > 0 || !verified.status.success() || !enough {
        std::process::exit(1);
    }
}

/// The program under test, beside this one unless the environment names another.
fn program() -> PathBuf {
    std::env::var_os("GAUGEGLASS")
        .map(PathBuf::from)
        .unwrap_or_else(|| {
            let here = std::env::current_exe().expect("a program knows where it is");
            here.with_file_name("gaugeglass")
        })
}

/// A workshop with one job and one trial under way.
async fn prepare(folder: &Path) {
    let app = acceptance::App::on(folder).await;
    let workshop = [("name", "Storm Works"), ("owner", "Wren Tarbet")];
    app.post("/start/empty", &workshop).await.is(303);
    let job = [
        ("plant_name", "Sandmartin"),
        ("customer_name", "T. Penrow"),
        ("came_in_on", "2026-11-03"),
        ("words", "It dies under load"),
    ];
    app.post("/jobs", &job).await.is(303);
    let trial = [
        ("question", "Does the log hold?"),
        ("place", "outdoors"),
        ("plant-working_pressure_bar", "4"),
        ("plant-glass-visible_mm", "60"),
    ];
    app.post("/jobs/26-001/trials/new", &trial).await.is(303);
    app.stop().await;
}

fn storm(folder: &Path, round: u32, acked: &Acked, sent: &Arc<Mutex<u64>>) {
    let (mut child, address) = start(folder);
    let until = Instant::now() + Duration::from_millis(60 + u64::from(round * 37 % 240));
    let hands: Vec<_> = (0..HANDS)
        .map(|_| {
            let (acked, sent) = (Arc::clone(acked), Arc::clone(sent));
            std::thread::spawn(move || {
                while Instant::now() < until + Duration::from_millis(200) {
                    let key = records::fresh_key();
                    *sent.lock().expect("no hand has died") += 1;
                    match post(address, &key) {
                        Some(id) => {
                            acked.lock().expect("no hand has died").insert(key, id);
                        }
                        None => break,
                    }
                }
            })
        })
        .collect();
    std::thread::sleep(until.saturating_duration_since(Instant::now()));
    child.kill().expect("kill -9");
    child.wait().expect("it is gone");
    for hand in hands {
        hand.join().expect("a hand ends by itself");
    }
}

fn start(folder: &Path) -> (Child, SocketAddr) {
    let mut child = Command::new(program())
        .args(["--listen", "127.0.0.1:0", "--data"])
        .arg(folder)
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let out = child.stdout.take().expect("its output is ours");
    let mut line = String::new();
    BufReader::new(out)
        .read_line(&mut line)
        .expect("it says where it listens");
    let address = line
        .trim()
        .trim_start_matches("gaugeglass: http://")
        .trim_end_matches('/');
    let address = address
        .parse()
        .unwrap_or_else(|_| panic!("no address in {line:?}"));
    (child, address)
}

/// Posts one entry; the id it was stored under, if the program lived to say so.
fn post(address: SocketAddr, key: &str) -> Option<String> {
    let body = format!(r#"{{"key": "{key}", "entry": {{"event": "note", "note": "{key}"}}}}"#);
    let mut stream = TcpStream::connect_timeout(&address, Duration::from_millis(500)).ok()?;
    stream.set_read_timeout(Some(Duration::from_secs(2))).ok()?;
    write!(
        stream,
        "POST {TRIAL} HTTP/1.1\r\nHost: {address}\r\nOrigin: http://{address}\r\nConnection: close\r\n\
         Content-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
        body.len()
    )
    .ok()?;
    let mut answer = String::new();
    stream.read_to_string(&mut answer).ok()?;
    let (head, body) = answer.split_once("\r\n\r\n")?;
    if !head.starts_with("HTTP/1.1 20") {
        eprintln!("refused: {head}\n{body}");
        return None;
    }
    let ack: serde_json::Value = serde_json::from_str(body).ok()?;
    Some(ack["entry"]["id"].as_str()?.to_owned())
}

/// Rows in the log, keys that stand twice, acknowledged keys that are not there as acknowledged.
async fn count(folder: &Path, acked: &HashMap<String, String>) -> (usize, usize, usize) {
    let store = records::Store::open(folder)
        .await
        .expect("the data opens again");
    let trial = records::TrialId::new(1);
    let rows = records::log::entries(&store, trial, 0)
        .await
        .expect("the log is read");
    let keys: HashSet<&str> = rows.iter().map(|e| e.key.as_str()).collect();
    let doubled = rows.len() - keys.len();
    let kept = |key: &String, id: &String| {
        rows.iter().any(|e| {
            e.key == *key && e.text.contains(&format!("\"id\": \"{id}\"")) && e.text.contains(key)
        })
    };
    let lost = acked.iter().filter(|(key, id)| !kept(key, id)).count();
    store.close().await;
    (rows.len(), doubled, lost)
}
