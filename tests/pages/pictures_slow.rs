//! A picture that comes in slowly, and the work that goes on beside it.

use std::time::{Duration, Instant};

use acceptance::App;

use crate::pictures::jpeg;

#[tokio::test]
async fn a_picture_that_comes_in_slowly_delays_no_other_work() {
    use tokio::io::{AsyncReadExt, AsyncWriteExt};
    let app = App::one_job().await;
    let picture = jpeg(3000, 2000, [30, 90, 160]);
    let key = records::fresh_key();
    let head = format!(
        "--x\r\nContent-Disposition: form-data; name=\"key\"\r\n\r\n{key}\r\n--x\r\nContent-Disposition: form-data; name=\"taken\"; filename=\"a.jpg\"\r\n\r\n"
    );
    let tail = b"\r\n--x--\r\n";
    let length = head.len() + picture.len() + tail.len();
    let host = app.host();
    let mut slow = tokio::net::TcpStream::connect(&host).await.unwrap();
    let start = format!(
        "POST /pictures?of=job-1 HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nConnection: close\r\nContent-Type: multipart/form-data; boundary=x\r\nContent-Length: {length}\r\n\r\n{head}"
    );
    slow.write_all(start.as_bytes()).await.unwrap();
    slow.write_all(&picture[..picture.len() / 2]).await.unwrap();
    let mut longest = Duration::ZERO;
    for n in 0..20 {
        let began = Instant::now();
        let done = format!("Sitting {n}");
        let sitting = [
            ("on_day", "2026-11-05"),
            ("minutes", "5"),
            ("done", done.as_str()),
        ];
        app.post("/jobs/26-001/sittings", &sitting).await.is(303);
        longest = longest.max(began.elapsed());
    }
    slow.write_all(&picture[picture.len() / 2..]).await.unwrap();
    slow.write_all(tail).await.unwrap();
    let mut answer = String::new();
    slow.read_to_string(&mut answer).await.unwrap();
    assert!(answer.starts_with("HTTP/1.1 303"), "{answer}");
    println!(
        "a form kept while a picture was coming in: at most {} ms",
        longest.as_millis()
    );
    assert!(longest < Duration::from_secs(2), "{longest:?}");
}
