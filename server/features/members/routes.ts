import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { changeFlock } from './change-flock.js'
import { createFlock } from './create-flock.js'
import { createMember } from './create-member.js'
import { getFlock, getMember, listFlocks, listMembers } from './queries.js'

export const memberRoutes = (app: FastifyInstance): void => {
  const tags = ['members']
  route(app, 'GET', '/members', listMembers, { operationId: 'listMembers', tags, summary: 'The members; a member sees only themselves' })
  route(app, 'POST', '/members', createMember, { operationId: 'createMember', tags, summary: 'Add a member of the cooperative' })
  route(app, 'GET', '/members/:id', getMember, { operationId: 'getMember', tags, summary: 'One member' })
  route(app, 'GET', '/flocks', listFlocks, {
    operationId: 'listFlocks',
    tags,
    summary: 'The flocks with their stage today; a member sees only their own',
  })
  route(app, 'POST', '/flocks', createFlock, { operationId: 'createFlock', tags, summary: "Add a flock of a member's birds" })
  route(app, 'GET', '/flocks/:id', getFlock, { operationId: 'getFlock', tags, summary: 'One flock with its stage today' })
  route(app, 'PATCH', '/flocks/:id', changeFlock, {
    operationId: 'changeFlock',
    tags,
    summary: 'Change how many birds there are and whether they lay',
  })
}
