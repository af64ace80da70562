package musicxml

import (
	"math"
	"slices"
	"strconv"

	"hardbars/score"
)

// pace is the range of a tempo word, in main beats a minute.
type pace struct{ low, high float64 }

// The ranges of the tempo words. Handbooks disagree widely: common practice.
// What only names another's pace is in headings.
var (
	grave       = pace{25, 45}
	largo       = pace{40, 60}
	lento       = pace{45, 60}
	larghetto   = pace{60, 66}
	adagio      = pace{55, 76}
	adagietto   = pace{65, 80}
	andante     = pace{72, 108}
	andantino   = pace{80, 108}
	moderato    = pace{86, 120}
	allegretto  = pace{100, 128}
	allegro     = pace{116, 168}
	vivace      = pace{132, 176}
	presto      = pace{168, 200}
	prestissimo = pace{184, 208}
)

// at is a figure of the range: 0 its slow end, 1 its quick end.
func (p pace) at(part float64) float64 { return math.Round(p.low + part*(p.high-p.low)) }

// quick tells on which side of moderate the pace lies.
func (p pace) quick() bool { return p.low >= 100 }

// heading is what a tempo word means.
type heading struct {
	pace
	part float64 // where in the range, 0 to 1
}

// headings are the tempo words, folded. Words of other languages than Italian
// are given the pace of the Italian word they stand for: common practice.
var headings = map[string]heading{
	"grave": {grave, .5}, "gravement": {grave, .5},
	"largo": {largo, .5}, "larghissimo": {largo, .1}, "large": {largo, .5}, "largement": {largo, .5}, "breit": {largo, .5}, "broad": {largo, .5}, "broadly": {largo, .5},
	"lento": {lento, .5}, "lentissimo": {lento, .1}, "lentamente": {lento, .5}, "lent": {lento, .5}, "lentement": {lento, .5},
	"larghetto": {larghetto, .5},
	"adagio":    {adagio, .5}, "adagissimo": {adagio, .1}, "langsam": {adagio, .4}, "getragen": {adagio, .5}, "slow": {adagio, .5}, "slowly": {adagio, .5},
	"adagietto": {adagietto, .5}, "ruhig": {adagietto, .5}, "calme": {adagietto, .5},
	"andante": {andante, .5}, "gehend": {andante, .5}, "allant": {andante, .6}, "gemachlich": {andante, .6},
	"andantino": {andantino, .5},
	"moderato":  {moderato, .5}, "massig": {moderato, .5}, "maessig": {moderato, .5}, "gemassigt": {moderato, .5}, "modere": {moderato, .5}, "moderement": {moderato, .5},
	"moderate": {moderato, .5}, "moderately": {moderato, .5}, "medium": {moderato, .5}, "bewegt": {moderato, .8},
	"allegretto": {allegretto, .5},
	"allegro":    {allegro, .65}, "allegrissimo": {allegro, .9}, "schnell": {allegro, .5}, "rasch": {allegro, .5}, "geschwind": {allegro, .5}, "flott": {allegro, .4}, "munter": {allegro, .3},
	"anime": {allegro, .3}, "gai": {allegro, .4}, "rapide": {allegro, .8}, "vite": {allegro, .6},
	"fast": {allegro, .5}, "quick": {allegro, .5}, "quickly": {allegro, .5}, "bright": {allegro, .3}, "brightly": {allegro, .3}, "brisk": {allegro, .3}, "briskly": {allegro, .3},
	"vivace": {vivace, .5}, "vivacissimo": {vivace, .9}, "vivo": {vivace, .5}, "vif": {vivace, .5}, "vivement": {vivace, .5},
	"lebhaft": {allegro, .3}, "lebhaftig": {allegro, .3}, "lebhaftigkeit": {allegro, .3}, "lively": {allegro, .3},
	"presto": {presto, .5}, "eilig": {presto, .2},
	"prestissimo": {prestissimo, .5},
}

// openings are words that give the pace at the head of a piece, but are only a
// manner of playing anywhere else.
var openings = map[string]heading{
	"maestoso": {andante, .4}, "sostenuto": {andante, .2}, "tranquillo": {andante, .3}, "feierlich": {adagio, .5},
	"animato": {allegro, .3}, "agitato": {allegro, .5}, "moto": {andante, .75}, "commodo": {moderato, .5}, "comodo": {moderato, .5},
	"steady": {moderato, .5}, "steadily": {moderato, .5}, "gently": {andante, .5},
}

// dances give the pace when the words call it a tempo: "Tempo di valse", "alla marcia".
var dances = map[string]heading{
	"valse": {allegro, .8}, "valzer": {allegro, .8}, "walzer": {allegro, .8}, "waltz": {allegro, .8},
	"minuetto": {moderato, .25}, "menuetto": {moderato, .25}, "menuet": {moderato, .25}, "menuett": {moderato, .25}, "minuet": {moderato, .25},
	"marcia": {moderato, .8}, "marche": {moderato, .8}, "marsch": {moderato, .8}, "march": {moderato, .8}, "marciale": {moderato, .8},
	"polacca": {moderato, .4}, "polonaise": {moderato, .4}, "mazurka": {allegro, .3}, "mazurca": {allegro, .3},
	"gavotta": {allegro, .2}, "gavotte": {allegro, .2}, "polka": {allegretto, .5}, "tango": {adagio, .3}, "habanera": {adagio, .3},
	"ballo": {allegretto, .5}, "siciliana": {adagietto, .2}, "barcarola": {andante, .2}, "bolero": {andante, .2},
}

// A tempo word's figure is that of a quarter divided into notesInBeat. Of the
// meter and of the note values each has half a say: a passage in another meter or
// in other values moves by the square root of what they differ.
//
// The ranges above are the handbooks'. That meter and values count for half each,
// and the figures here, are set so that the words' tempos meet those played in 266
// concert performances of 29 works (Peter et al., "Automatic Note-Level
// Score-to-Performance Alignments in the ASAP Dataset", TISMIR 6(1), 2023).
const (
	notesInBeat = 3.8
	cutBeat     = .72 // a half note where halves are counted, to a quarter where quarters are
	threes      = .5  // a dotted beat, to its three parts counted as beats
	oneInABar   = .45 // a bar of three that is counted in one, to its beats
	twoFour     = .85 // a quarter in 2/4, which is written for shorter bars
)

// Words at least so quick are counted one in a bar in 3/8, and in 3/4.
const quickInEighths, quickInQuarters = 130, 168

// inMeter is the tempo, in quarters a minute, of a word's figure in a meter whose busier
// bars have so many notes to a quarter.
func inMeter(figure float64, t score.Time, notes float64) float64 {
	// Few notes make a slow word no quicker, and no word as quick as their number.
	switch {
	case figure <= 92:
		notes = max(notes, notesInBeat)
	case figure < quickInEighths:
		notes = max(notes, 2.6)
	}
	notes = min(max(notes, 2), 8)
	return math.Round(figure * math.Sqrt(unitOf(figure, t)*notesInBeat/notes))
}

// unitOf is what the meter counts, in quarters, as much as that of a quarter in 4/4
// or 3/4 is 1.
func unitOf(figure float64, t score.Time) float64 {
	if t.BeatType == 0 {
		return 1
	}
	unit := 4 / float64(t.BeatType)
	beats, err := strconv.Atoi(t.Beats)
	switch {
	case err != nil:
		return unit
	case beats > 3 && beats%3 == 0:
		return 3 * unit * threes
	case beats == 3 && (t.BeatType == 8 && figure >= quickInEighths || t.BeatType == 4 && figure >= quickInQuarters):
		return 3 * unit * oneInABar
	case t.BeatType <= 2:
		return unit * cutBeat
	case beats == 2 && t.BeatType == 4:
		return twoFour
	}
	return unit
}

// leads may stand before a tempo word. Anything else there, and the words are
// a sentence and no tempo.
var leads = []string{
	"mit", "molto", "assai", "poco", "un", "quasi", "non", "ma", "troppo", "tanto", "e", "con", "alla", "piuttosto",
	"sehr", "ziemlich", "etwas", "nicht", "zu", "ein", "wenig", "im", "recht",
	"tres", "assez", "peu", "pas", "trop",
	"very", "rather", "quite", "fairly", "not", "too", "a", "little",
}

// longestHeading is how many words stand at the head of a piece with a tempo among
// them, as in "Das Lebewohl. Adagio".
const longestHeading = 4

// pace reads a tempo word with what modifies it, in main beats a minute.
// Opening reports whether the words stand at the head of the piece.
func (p phrase) pace(opening bool) (beats float64, ok bool) {
	h, i := find(p, headings, opening && len(p) <= longestHeading)
	if i < 0 && opening {
		h, i = find(p, openings, false)
	}
	if i < 0 {
		h, ok := p.dance()
		return h.at(h.part), ok
	}
	before, after := p[:i], p[i+1:]
	if before.says("not", "nicht", "pas", "non") && !before.says("too", "zu", "trop", "troppo", "tanto") {
		return moderato.at(.5), true
	}
	return h.at(modified(h, before, after)), true
}

// find looks for the first word of the table that has only leads before it, or
// anything.
func find(p phrase, table map[string]heading, anywhere bool) (heading, int) {
	for i, word := range p {
		if h, ok := table[word]; ok {
			return h, i
		}
		if !slices.Contains(leads, word) && !anywhere {
			break
		}
	}
	return heading{}, -1
}

func (p phrase) dance() (heading, bool) {
	if !p.says("tempo", "mouvement", "alla", "im zeitmass") && !p.stem("walzertempo", "marschtempo") {
		return heading{}, false
	}
	for _, word := range p {
		if h, ok := dances[word]; ok {
			return h, true
		}
	}
	return heading{}, false
}

// Where in its range a modifier moves a tempo word, from 0 to 1. Whatever is
// said, the figure stays in the range of the word itself. Common practice.
const (
	extreme  = .85 // molto, assai: away from moderate
	tempered = .25 // non troppo, moderato: towards it
	stirred  = .75 // con moto, con brio
	held     = .3  // sostenuto, maestoso
	sung     = .1  // cantabile
)

// modified is where in the range the heading's figure lies.
func modified(h heading, before, after phrase) float64 {
	towards := func(part float64) float64 { // given for quick words
		if h.quick() {
			return part
		}
		return 1 - part
	}
	second, i := find(after, headings, false)
	switch {
	case after.says("non troppo", "non tanto", "non molto", "nicht zu", "pas trop", "not too") || before.says("troppo", "tanto", "zu", "trop", "too"):
		return towards(tempered)
	case i >= 0 && second.low+second.high > h.low+h.high:
		return stirred
	case i >= 0 && second.low+second.high < h.low+h.high:
		return 1 - stirred
	case before.says("molto", "assai", "sehr", "tres", "very") || after.begins("molto", "assai", "di molto"):
		return towards(extreme)
	case before.says("poco", "peu", "etwas", "wenig", "ziemlich", "assez", "rather", "quite", "fairly", "little", "quasi", "piuttosto"):
		return towards(tempered)
	case after.says("moto", "mosso", "brio", "fuoco", "spirito", "animato", "anima", "agitato", "appassionato"):
		return stirred
	case after.says("cantabile", "espressivo", "cantando"):
		return sung
	case after.says("sostenuto", "maestoso", "tranquillo", "pesante", "mesto", "religioso", "lugubre"):
		return held
	}
	return h.part
}

// backTo is an earlier tempo that words call back.
type backTo int

const (
	nowhere  backTo = iota
	toSteady        // "a tempo": the one before the gradual change
	toFirst         // "Tempo I"
)

func (p phrase) back() backTo {
	switch {
	case p.says("tempo i", "tempo 1", "tempo 1o", "tempo 1mo", "tempo primo", "primo tempo", "1 tempo", "i tempo", "tempo iniziale",
		"erstes zeitmass", "erstes tempo", "1er mouvement", "1er mouvt", "premier mouvement", "mouvement du debut", "mouvement initial", "original tempo"):
		return toFirst
	case p.says("a tempo rubato", "senza tempo", "al tempo"):
		return nowhere
	case p.says("a tempo", "in tempo", "im tempo", "au mouvement", "au mouvt", "au tempo", "tempo wie vorher") && !p.says("senza a tempo"):
		return toSteady
	}
	return nowhere
}

// sameBeat reports whether the beat keeps its pace across a change of metre.
func (p phrase) sameBeat() bool {
	return p.says("istesso tempo", "stesso tempo", "listesso tempo", "stesso movimento", "istesso movimento", "meme mouvement", "dasselbe tempo", "same tempo", "gleiches tempo")
}

// Words that quicken, and words that slow, where "più" stands before them;
// comparatives do without it.
var (
	quickening = []string{"mosso", "animato", "vivo", "vivace", "allegro", "presto", "moto", "agitato", "stretto", "vite", "anime", "vif", "rapide", "movimento"}
	slowing    = []string{"lento", "adagio", "largo", "tranquillo", "sostenuto", "calmo", "ritenuto", "lent", "calme", "large", "retenu"}
	quicker    = []string{"schneller", "rascher", "bewegter", "lebhafter", "faster", "quicker", "livelier"}
	slower     = []string{"langsamer", "ruhiger", "breiter", "slower", "calmer", "broader"}
)

// How much a sudden change changes the tempo where no figure is given. Handbooks
// give none: common practice.
const (
	clearChange  = 1.15 // più mosso
	slightChange = 1.08 // poco più mosso
	greatChange  = 1.3  // molto più mosso
)

// ratio is the factor of a sudden change, 0 where the words name none.
func (p phrase) ratio() float64 {
	switch {
	case p.says("doppio piu lento", "doppelt so langsam", "half tempo", "half time", "half as fast", "twice as slow"):
		return .5
	case p.says("doppio movimento", "doppio tempo", "doppio piu mosso", "doppelt so schnell", "doppeltes tempo", "double tempo", "double time", "twice as fast"):
		return 2
	}
	faster, slower := p.changes()
	change := clearChange
	switch {
	case p.says("poco", "peu", "etwas", "wenig", "little", "slightly"):
		change = slightChange
	case p.says("molto", "assai", "beaucoup", "viel", "much"):
		change = greatChange
	}
	switch {
	case faster:
		return change
	case slower:
		return 1 / change
	}
	return 0
}

// changes reports whether the words ask for a quicker or a slower tempo.
func (p phrase) changes() (faster, slow bool) {
	for i, word := range p {
		next := ""
		if i+1 < len(p) {
			next = p[i+1]
		}
		switch {
		case slices.Contains(quicker, word), isMore(word) && slices.Contains(quickening, next), isLess(word) && slices.Contains(slowing, next):
			return true, false
		case slices.Contains(slower, word), isMore(word) && slices.Contains(slowing, next), isLess(word) && slices.Contains(quickening, next):
			return false, true
		}
	}
	return false, false
}

func isMore(word string) bool { return word == "piu" || word == "plus" }
func isLess(word string) bool { return word == "meno" || word == "moins" }

// gradual reports whether the words begin a gradual change of tempo.
func (p phrase) gradual() bool {
	for i, word := range p {
		negated := i > 0 && slices.Contains([]string{"senza", "non", "sans", "ohne", "nicht", "without", "no"}, p[i-1])
		if !negated && gradualWord(word) {
			return true
		}
	}
	faster, slow := p.changes()
	return (faster || slow) && p.says("poco a poco", "sempre", "a poco", "peu a peu", "de plus", "de moins", "immer", "allmahlich", "nach und nach", "gradually", "werdend", "werden", "getting") ||
		p.says("slow down", "slowing down", "speed up", "hold back", "en animant")
}

func gradualWord(word string) bool {
	return slices.Contains([]string{"rit", "ritd", "string", "stretto", "stretta", "cedez", "cedant", "retenu", "retenez", "serrez", "pressez", "animando", "broaden", "broadening", "hurrying"}, word) ||
		phrase{word}.stem("ritard", "riten", "rall", "accel", "stringen", "allarg", "slarg", "slent", "affrett", "precipit",
			"calando", "smorz", "ralent", "elargi", "zogern", "verbreiter", "beschleunig", "zuruckhalt", "drangen")
}
