import type { ComponentType, LazyExoticComponent } from 'react'
import type { Role } from '#contract/access'

type Page = LazyExoticComponent<ComponentType>

/** Pages that are not a list or a record of one entity, by path: `'/trace': lazy(() => import('./trace'))`. */
export const PAGES: Readonly<Record<string, Page>> = {}

/** The home page of each role; it answers the role's three questions without a click. */
export const HOMES: Readonly<Partial<Record<Role, Page>>> = {}
