import fc from 'fast-check'

// Chance may not decide whether a mutant lives.
fc.configureGlobal({ seed: 20261125 })
