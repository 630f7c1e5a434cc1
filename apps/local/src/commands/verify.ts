// npm run verify: the part of npm test that needs no database and no browser.
import { runChecks, withoutDatabase } from '../checks.ts'

await runChecks(withoutDatabase)
