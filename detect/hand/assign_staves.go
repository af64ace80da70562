package hand

func (a *assigner) chooseStaves() {}
