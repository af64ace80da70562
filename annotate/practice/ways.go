package practice

// Way is a general way of practising, which steps name.
type Way struct {
	Name  string // "rhythms"
	Words string
}

// Ways are those that the sheet explains once. Common practice.
var Ways = []Way{
	{"stops", "stop before what is hard, look, and play only when you know where the hand goes; then leave the stops out one by one."},
	{"touch and wait", "slowly: go at once, touch the keys without sounding them, wait for the beat, then play."},
	{"in blocks", "strike all notes of one position of the hand together, then those of the next; then one after the other as written."},
	{"rhythms", "play even notes long-short, then short-long, then as they are written."},
	{"groups", "a few notes and one over, in tempo, then rest; next time begin a note later; then longer groups."},
	{"one more", "begin with a few notes or chords in tempo, rest, and add one at a time. Stop when the forearm hardens."},
	{"from the end", "learn the last beat first and go back beat by beat, always playing to the end."},
	{"together", "when each hand is sure alone: both, from the slowest tempo, then with the bar before and after. Up a tempo after three clean times, back after two misses."},
}
