// Finds the browser of this machine; test tools bring none of their own here.
import { accessSync, constants } from 'node:fs'

const places = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/usr/bin/google-chrome-stable',
  '/opt/google/chrome/chrome',
  '/snap/bin/chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
]

export const noChromium = [
  'No Chromium was found, and the browser journeys need one. To get it:',
  '  Debian, Ubuntu   apt-get install chromium',
  '  Fedora           dnf install chromium',
  '  macOS            brew install --cask chromium',
  'or name the program: CHROMIUM_PATH=/path/to/chromium npm test',
].join('\n')

export function findChromium(env: Record<string, string | undefined> = process.env): string {
  const named = env.CHROMIUM_PATH
  if (named && !isProgram(named)) throw new Error(`CHROMIUM_PATH is ${named}, which cannot be run.\n${noChromium}`)
  const found = named || places.find(isProgram)
  if (!found) throw new Error(noChromium)
  return found
}

function isProgram(path: string) {
  try {
    accessSync(path, constants.X_OK)
    return true
  } catch {
    return false
  }
}
