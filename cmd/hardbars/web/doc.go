// Package web is the page: the whole of hardbars for people who never open a
// terminal, served on their own computer.
//
// It knows HTTP, HTML and the shelf on which the pieces stand. It adds no
// analysis of its own: what is hard, how it is practised and what is written
// comes from the same packages, and in the same bytes, as the command's.
//
// # Routes
//
// Every page is whole without scripts. With ?only=content it comes without its
// frame. A form that is posted with ?only=content answers with the new content,
// otherwise it leads to the page. A place is named by its identity, such as
// 12-15-left-leap, which outlives settings (progress.Identity); of bars as a
// whole it ends in -both-bars.
// What cannot be done is answered with a status of 4xx and a sentence: as a
// page, as content, or as {"error": "…"} where JSON was asked for.
//
//	GET  /                                the shelf, and the form to drop scores on
//	POST /pieces                          multipart, any number of files named "score"; with
//	                                      Accept: application/json {"files": [{"name", "piece", "title", "error"}]}
//	POST /pieces/{id}/remove              takes a piece off the shelf
//	POST /trash/{id}/restore              puts it back
//	GET  /pieces/{id}                     the piece: strip, what to practise first, sections
//	GET  /pieces/{id}/settings            span, level, tempo, middle-pedal, minutes, days
//	POST /pieces/{id}/settings            the same; "" takes one back; seen: what the form began with
//	GET  /pieces/{id}/places/{place}      a place
//	GET  /pieces/{id}/music.svg           bars engraved: ?place=… [&whole=1], or ?bars=5-8; &width= in millimetres
//	GET  /pieces/{id}/notes.json          what sounds, to play it: ?place=… or ?bars=5-8 (see playing)
//	GET  /pieces/{id}/tonight             the day's plan
//	POST /pieces/{id}/tonight             item, done=yes|no, minutes, tempo, note: ticks off, in the log
//	POST /pieces/{id}/log                 place, tempo, minutes, note: a line in the log
//	POST /pieces/{id}/log/change          line, was, do=change|back, date, tempo, minutes, note
//	GET  /pieces/{id}/progress.json       as hardbars progress --json
//	GET  /pieces/{id}/remarks             the remarks
//	POST /pieces/{id}/remarks             bars, hand, text: a line more
//	POST /pieces/{id}/remarks/change      line, was, do=change|back, bars, hand, text
//	GET  /pieces/{id}/take/{what}         study.pdf [?paper=letter], score.pdf [the same], marked.musicxml, drills.musicxml, plan.ics
//	POST /clock                           piece, item, do=start|stop, about: the one clock
//	GET  /assets/{file}
//	GET  /hello                           for a second start
//
// The content-security policy lets in nothing from elsewhere and nothing
// inline: styles are classes, and a script takes what it needs from data-
// attributes and the routes above.
package web
