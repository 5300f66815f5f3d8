import { PAGES } from '../pages'
import { RESOURCES } from '../resources'

/** Is there something behind this path? The home page always is. */
export const pathExists = (path: string): boolean => {
  if (path === '/' || path in PAGES) return true
  const [, name, view] = path.split('/')
  const resource = RESOURCES.find((candidate) => candidate.name === name)
  if (!resource) return false
  return view === 'create' ? resource.create !== undefined : resource.list !== undefined
}
