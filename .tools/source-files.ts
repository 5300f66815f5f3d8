// The files of the house as git sees them: tracked, and new ones that are not ignored.
import { execFileSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { SourceFile } from './import-rule.js'

export const ROOT = fileURLToPath(new URL('..', import.meta.url))

export function pathsOfTheHouse(): string[] {
  const listed = execFileSync('git', ['ls-files', '-z', '--cached', '--others', '--exclude-standard'], { cwd: ROOT, encoding: 'utf8' })
  return listed.split('\0').filter((path) => path !== '' && existsSync(join(ROOT, path)))
}

export function readHouse(wanted: (path: string) => boolean): SourceFile[] {
  return pathsOfTheHouse()
    .filter(wanted)
    .map((path) => ({ path, text: readFileSync(join(ROOT, path), 'utf8') }))
}

export const isSource = (path: string): boolean => /\.(?:ts|tsx)$/.test(path)
