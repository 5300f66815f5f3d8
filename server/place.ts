import { existsSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const rootFrom = (folder: string): string => {
  if (existsSync(join(folder, 'package.json'))) return folder
  const parent = dirname(folder)
  if (parent === folder) throw new Error('package.json was not found above the server')
  return rootFrom(parent)
}

/** The project's folder: the same whether the TypeScript runs or what was compiled from it. */
export const projectFolder = rootFrom(dirname(fileURLToPath(import.meta.url)))
export const consoleFolder = join(projectFolder, 'admin', 'dist')
export const migrationsFolder = join(projectFolder, 'prisma', 'migrations')

const { version } = JSON.parse(readFileSync(join(projectFolder, 'package.json'), 'utf8')) as { version: string }
export const VERSION = version
