// dependency-cruiser reads TypeScript through the `typescript` package up to version 6 only, or through swc, whose parser
// it asks for .ts and never for .tsx. This sets that one option; loaded before it (node --require).
const swc = require('@swc/core')

const { parseFileSync } = swc
swc.parseFileSync = (file, options) => parseFileSync(file, { ...options, tsx: file.endsWith('.tsx') })
