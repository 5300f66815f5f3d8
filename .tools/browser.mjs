import { accessSync, constants } from 'node:fs'
import { delimiter, join } from 'node:path'

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable']

/** The browser that the browser tests use: the one KINU_BROWSER names, else the first found on the path; null when there is none. */
export function findBrowser(environment = process.env) {
  const folders = (environment.PATH ?? '').split(delimiter).filter((folder) => folder !== '')
  const candidates = environment.KINU_BROWSER
    ? [environment.KINU_BROWSER]
    : NAMES.flatMap((name) => folders.map((folder) => join(folder, name)))
  return candidates.find(canRun) ?? null
}

function canRun(path) {
  try {
    accessSync(path, constants.X_OK)
    return true
  } catch {
    return false
  }
}
