//! From a socket to an answer and back.
//!
//! The socket is taken before anything else starts, so that a port that is taken is one clear
//! line. Each worker looks into the cache itself; what must be computed goes to a bounded pool, so
//! that a hard question does not hold up the others. Slow, silent and greedy clients meet limits.

use std::io;
use std::net::{SocketAddr, TcpListener};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::mpsc;
use std::time::Duration;

use actix_web::dev::{Server, ServerHandle};
use actix_web::http::StatusCode;
use actix_web::http::header::{ALLOW, CACHE_CONTROL, ETAG, HeaderValue, IF_NONE_MATCH, LOCATION};
use actix_web::middleware::from_fn;
use actix_web::rt::time::timeout;
use actix_web::rt::{System, signal, spawn};
use actix_web::{App, HttpRequest, HttpResponse, HttpServer, guard, web};
use sha2::{Digest, Sha256};

use super::assets::{self, hexadecimal};
use super::cache::{Cache, Whole};
use super::counter::form_address;
use super::error::{Refusal, not_found, refused, response};
use super::language::{Chosen, asked};
use super::parameters::{DATE, Parameters};
use super::question::{Answer, Counter, Question};
use super::routes::{ROUTES, Route};
use super::security::{Hosts, guarded, machine_name};
use super::templates::Templates;
use super::trace::traced;
use crate::answer::Left;
use crate::config::Config;
use crate::language::within;
use crate::load::Moment;
use crate::paper::InForce;
use crate::problem::{Kind, Problem};
use crate::reload::{Current, keep_fresh};
use crate::snapshot::Snapshot;

/// A body is a form with one field, bytes.
const LONGEST_BODY: usize = 64 * 1024;
/// A body that takes longer is not a form.
const BODY_TIME: Duration = Duration::from_secs(10);
/// The head of a request must be whole by then; a silent connection ends.
const HEAD_TIME: Duration = Duration::from_secs(5);
/// Open connections of one worker.
const CONNECTIONS: usize = 256;
/// What is under way when the process is told to stop may take so long, seconds.
const STOP_TIME: u64 = 10;

/// What all workers share.
#[derive(Debug)]
pub(super) struct State {
    pub counter: Arc<Counter>,
    pub hosts: Hosts,
    cache: Cache,
}

/// A server that has its address and does not yet answer.
pub struct Bound {
    server: Server,
    address: SocketAddr,
    state: Arc<State>,
}

/// Stops a server from elsewhere.
#[derive(Clone, Debug)]
pub struct Stopper(ServerHandle);

impl Stopper {
    /// Lets what is under way finish; waits until the server has stopped.
    pub fn stop(&self) {
        System::new().block_on(self.0.stop(true));
    }
}

/// Takes the address that the configuration names.
///
/// # Errors
/// The address is taken or is not this machine's.
pub fn bind(config: Config, snapshot: Snapshot) -> Result<Bound, Problem> {
    let wanted = config.bind.value;
    let listener = TcpListener::bind(wanted).map_err(|cause| taken(wanted, &cause))?;
    let address = listener
        .local_addr()
        .map_err(|cause| taken(wanted, &cause))?;
    let build = build(&config, address);
    let hosts = Hosts::new(&config.allowed_hosts.value, machine_name());
    let counter = Counter {
        address: config.public_address(address),
        templates: Templates::new(),
        current: Current::new(snapshot),
        paper: InForce::of(&config),
        config,
    };
    let state = Arc::new(State {
        counter: Arc::new(counter),
        hosts,
        cache: Cache::new(build),
    });
    let server = listening(listener, &state).map_err(|cause| taken(wanted, &cause))?;
    Ok(Bound {
        server,
        address,
        state,
    })
}

impl Bound {
    /// Where it is.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Something to stop it with.
    pub fn stopper(&self) -> Stopper {
        Stopper(self.server.handle())
    }

    /// Answers until it is stopped, by its [`Stopper`] or by a signal to the process.
    ///
    /// # Errors
    /// Listening failed.
    pub fn run(self) -> Result<(), Problem> {
        let (stop, stopped) = mpsc::channel();
        let counter = self.state.counter.clone();
        let reload =
            std::thread::spawn(move || keep_fresh(&counter.current, &counter.config, &stopped));
        let (stop_paper, paper_stopped) = mpsc::channel();
        let counter = self.state.counter.clone();
        let paper =
            std::thread::spawn(move || counter.paper.keep_fresh(&counter.config, &paper_stopped));
        let server = self.server;
        let ran = System::new().block_on(async move {
            spawn(stop_on_signal(server.handle()));
            server.await
        });
        drop((stop, stop_paper));
        if reload.join().is_err() || paper.join().is_err() {
            tracing::error!("looking after the folders broke off");
        }
        ran.map_err(|cause| {
            Problem::new(
                Kind::CouldNot,
                sentence!(
                    "listening at {address} failed: {cause}",
                    address = self.address.to_string(),
                    cause = cause.to_string()
                ),
            )
        })
    }
}

/// A stop at the keyboard and one by a service manager are the same to what is under way.
async fn stop_on_signal(handle: ServerHandle) {
    #[cfg(unix)]
    {
        use signal::unix::{SignalKind, signal as listen};
        if let Ok(mut terminate) = listen(SignalKind::terminate()) {
            let stop = handle.clone();
            spawn(async move {
                terminate.recv().await;
                leave_for_good();
                stop.stop(true).await;
            });
        }
    }
    if signal::ctrl_c().await.is_ok() {
        leave_for_good();
        handle.stop(true).await;
    }
}

/// Ends the process if it has not ended by itself when all was to be over: of questions that are still
/// being worked out only runs of trials can be called off.
fn leave_for_good() {
    std::thread::spawn(|| {
        std::thread::sleep(Duration::from_secs(STOP_TIME + 2));
        std::process::exit(0);
    });
}

fn taken(address: SocketAddr, cause: &io::Error) -> Problem {
    let problem = Problem::new(
        Kind::CouldNot,
        sentence!(
            "could not listen at {address}: {cause}",
            address,
            cause = cause.to_string()
        ),
    );
    match cause.kind() {
        io::ErrorKind::AddrInUse => problem.hint(sentence!(
            "another program, perhaps this one, is there: stop it, or give `--bind` another port"
        )),
        io::ErrorKind::PermissionDenied => problem.hint(sentence!(
            "ports below 1024 need rights: give `--bind` a higher port"
        )),
        _ => problem.hint(sentence!("give `--bind` an address of this machine")),
    }
}

/// Program and settings that answers depend on, as one hash.
fn build(config: &Config, address: SocketAddr) -> String {
    let mut sum = Sha256::new();
    sum.update(env!("CARGO_PKG_VERSION"));
    sum.update(Templates::digest());
    sum.update(config.public_address(address));
    sum.update(format!(
        "{:?} {:?} {:?} {:?}",
        config.shop.value, config.feel.value, config.card_into.value, config.card_paper.value
    ));
    hexadecimal(&sum.finalize())
}

fn listening(listener: TcpListener, state: &Arc<State>) -> io::Result<Server> {
    let state = web::Data::from(state.clone());
    let workers = std::thread::available_parallelism()
        .map_or(2, std::num::NonZero::get)
        .clamp(2, 8);
    let app = move || {
        let mut app = App::new()
            .app_data(state.clone())
            .wrap(from_fn(guarded))
            .wrap(from_fn(traced));
        for route in ROUTES.iter() {
            app = app.service(resource(route));
        }
        app.service(
            web::resource("/assets/{name}")
                .route(read().to(asset))
                .default_service(web::to(wrong_method)),
        )
        .default_service(web::to(nothing_there))
    };
    let server = HttpServer::new(app)
        .listen(listener)?
        .workers(workers)
        .worker_max_blocking_threads(workers)
        .max_connections(CONNECTIONS)
        .keep_alive(HEAD_TIME)
        .client_request_timeout(HEAD_TIME)
        // A client that closes its half has left: nobody who waits for an answer here does that.
        .h1_allow_half_closed(false)
        .shutdown_timeout(STOP_TIME)
        .disable_signals()
        .run();
    Ok(server)
}

/// GET and HEAD.
fn read() -> actix_web::Route {
    web::route().guard(guard::Any(guard::Get()).or(guard::Head()))
}

fn resource(route: &'static Route) -> actix_web::Resource {
    let handler =
        move |request: HttpRequest, state: web::Data<State>| answer(route, request, state);
    let resource = web::resource(route.path)
        .name(route.path)
        .route(read().to(handler));
    let resource = if route.path == "/" {
        resource.route(web::post().to(form))
    } else {
        resource
    };
    resource.default_service(web::to(wrong_method))
}

/// One question: from the cache, or computed and kept.
async fn answer(
    route: &'static Route,
    request: HttpRequest,
    state: web::Data<State>,
) -> HttpResponse {
    let snapshot = state.counter.current.snapshot();
    let read = Parameters::read(request.query_string(), &route.known());
    let known = |parameters| asked(&parameters, &snapshot.languages).map(|_| parameters);
    let parameters = match read.and_then(known) {
        Ok(parameters) => parameters,
        Err(problem) => return response(&state.counter, &problem, &request),
    };
    let dated = route.parameters.iter().any(|one| one.name == DATE.name);
    let parameters = if dated {
        parameters.or(DATE.name, &Moment::now().day().to_string())
    } else {
        parameters
    };
    let chosen = Chosen::of(&request, &state.counter.config, &snapshot.languages);
    let (query, tag) = (parameters.canonical(), chosen.language.tag());
    let made_from = format!("{} {}", snapshot.state(), state.counter.paper.digest());
    let key = Cache::key(&made_from, tag, request.path(), &query);
    if let Some(whole) = route.kept.then(|| state.cache.get(&key)).flatten() {
        return told(route, &chosen, kept(&request, &whole));
    }
    let named = request
        .match_info()
        .iter()
        .next()
        .map(|(_, value)| value.to_owned())
        .unwrap_or_default();
    let question = Question {
        counter: state.counter.clone(),
        snapshot,
        parameters,
        named,
        left: Left::default(),
    };
    let answer = match computed(route, &chosen, question).await {
        Ok(Answer::Whole(200, media, body)) if route.kept => {
            kept(&request, &state.cache.keep(key, media, body))
        }
        Ok(Answer::Whole(status, media, body)) => {
            HttpResponse::build(StatusCode::from_u16(status).unwrap_or_default())
                .insert_header((CACHE_CONTROL, "no-store"))
                .content_type(media.name())
                .body(body)
        }
        Ok(Answer::SeeOther(address)) => HttpResponse::SeeOther()
            .insert_header((LOCATION, address))
            .finish(),
        Err(problem) => return response(&state.counter, &problem, &request),
    };
    told(route, &chosen, answer)
}

/// The same answer, saying its language where people read it.
fn told(route: &Route, chosen: &Chosen, mut answer: HttpResponse) -> HttpResponse {
    if route.speaks() {
        chosen.in_headers(&mut answer);
    }
    answer
}

/// The wait for an answer. It is dropped where the client leaves before that is there, as a page does
/// at each further key.
struct Wait(Left);

impl Drop for Wait {
    fn drop(&mut self) {
        self.0.leave();
    }
}

/// Here, where that is soon done, else on the pool. A handler that panics is a fault of ours and
/// takes nothing down. What nobody waits for when its turn comes is not begun.
async fn computed(
    route: &'static Route,
    chosen: &Chosen,
    question: Question,
) -> Result<Answer, Problem> {
    let at_once = route.at_once && question.parameters.text("monte_carlo").is_empty();
    let left = question.left.clone();
    let _wait = Wait(left.clone());
    let chosen = chosen.clone();
    let spoken = move || {
        within(&chosen.language, || {
            Ok(chosen.page((route.answer)(&question)?))
        })
    };
    let answer = move || catch_unwind(AssertUnwindSafe(spoken));
    let done = if at_once {
        answer().ok()
    } else {
        let wanted = move || (!left.has_left()).then(answer);
        let done = web::block(wanted).await.ok().flatten();
        done.and_then(Result::ok)
    };
    done.unwrap_or_else(|| {
        tracing::error!(route = route.path, "a handler broke off");
        Err(Problem::new(
            Kind::CouldNot,
            sentence!("something broke here; it is not your typing"),
        )
        .hint(sentence!("the log says more")))
    })
}

/// A kept answer, or only that it is still the same.
fn kept(request: &HttpRequest, whole: &Whole) -> HttpResponse {
    let known = request
        .headers()
        .get(IF_NONE_MATCH)
        .and_then(|tags| tags.to_str().ok());
    let etag = whole.etag.to_str().unwrap_or_default();
    let same = known.is_some_and(|tags| {
        tags.split(',').any(
            |tag| matches!(tag.trim(), tag if tag == "*" || tag.trim_start_matches("W/") == etag),
        )
    });
    let mut answer = if same {
        HttpResponse::NotModified()
    } else {
        HttpResponse::Ok()
    };
    answer
        .insert_header((ETAG, whole.etag.clone()))
        .insert_header((CACHE_CONTROL, "no-cache"));
    if same {
        answer.finish()
    } else {
        answer
            .content_type(whole.media.name())
            .body(whole.body.clone())
    }
}

async fn asset(
    request: HttpRequest,
    state: web::Data<State>,
    name: web::Path<String>,
) -> HttpResponse {
    let Some(asset) = assets::asset(&name) else {
        return response(&state.counter, &not_found(request.path()), &request);
    };
    let version = assets::version(&asset);
    let keep = if request.query_string() == format!("v={version}") {
        "public, max-age=31536000, immutable"
    } else {
        "no-cache"
    };
    HttpResponse::Ok()
        .insert_header((CACHE_CONTROL, keep))
        .insert_header((ETAG, format!("\"{version}\"")))
        .content_type(asset.metadata.mimetype())
        .body(asset.data.into_owned())
}

/// A form that was posted says the same as an address.
async fn form(request: HttpRequest, state: web::Data<State>, body: web::Payload) -> HttpResponse {
    let refuse = |refusal| refused(&state.counter, refusal, &request);
    match timeout(BODY_TIME, body.to_bytes_limited(LONGEST_BODY)).await {
        Err(_) => refuse(Refusal::FormTooSlow),
        Ok(Err(_)) => refuse(Refusal::FormTooLarge),
        Ok(Ok(Err(_))) => refuse(Refusal::FormBroken),
        Ok(Ok(Ok(bytes))) => match form_address(&String::from_utf8_lossy(&bytes)) {
            Ok(address) => HttpResponse::SeeOther()
                .insert_header((LOCATION, address))
                .finish(),
            Err(problem) => response(&state.counter, &problem, &request),
        },
    }
}

async fn wrong_method(request: HttpRequest, state: web::Data<State>) -> HttpResponse {
    let allowed = if request.path() == "/" {
        "GET, HEAD, POST"
    } else {
        "GET, HEAD"
    };
    let mut answer = refused(&state.counter, Refusal::WrongMethod, &request);
    answer
        .headers_mut()
        .insert(ALLOW, HeaderValue::from_static(allowed));
    answer
}

async fn nothing_there(request: HttpRequest, state: web::Data<State>) -> HttpResponse {
    response(&state.counter, &not_found(request.path()), &request)
}
