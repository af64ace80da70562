package sheet
