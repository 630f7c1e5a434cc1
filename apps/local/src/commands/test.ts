// npm test: everything that must hold, one after another.
import { runChecks, withDatabase, withoutDatabase } from '../checks.ts'

await runChecks([...withoutDatabase, ...withDatabase])
