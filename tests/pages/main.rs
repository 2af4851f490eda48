//! Pages, black box over HTTP.
