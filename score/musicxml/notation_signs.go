package musicxml

func (w *writer) writeDirections()  {}
func (w *writer) writeOctaveLines() {}
