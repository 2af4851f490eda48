//! What the page calls for: the alarms that wait to be seen, in the order in which they stand.

/// An alarm that has not been acknowledged.
pub(crate) struct Alarm {
    pub(crate) rule: String,
    pub(crate) raised: String,
    pub(crate) stop: bool,
}

/// Every alarm on the page with a key to say that it was seen, from the top.
pub(crate) fn alarms(body: &str) -> Vec<Alarm> {
    let mut all = Vec::new();
    let upto = body.find("id=\"flags\"").unwrap_or(body.len());
    let mut rest = &body[..upto];
    let mut stop_before = false;
    while let Some(at) = rest.find("value=\"acknowledges\"") {
        let (before, after) = rest.split_at(at);
        let screen = before
            .rfind("class=\"stop-screen\"")
            .or(before.rfind("flagband stop"));
        let caution = before.rfind("flagband caution");
        stop_before = match (screen, caution) {
            (Some(s), Some(c)) => s > c,
            (Some(_), None) => true,
            (None, Some(_)) => false,
            (None, None) => stop_before,
        };
        let value = |name: &str| {
            let rest = after.split_once(&format!("name=\"{name}\" value=\""))?.1;
            Some(rest.split_once('"')?.0.to_owned())
        };
        if let (Some(rule), Some(raised)) = (value("rule"), value("raised_at_s")) {
            all.push(Alarm {
                rule,
                raised,
                stop: stop_before,
            });
        }
        rest = &after[1..];
    }
    all
}
