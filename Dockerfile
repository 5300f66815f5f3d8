FROM node:22-slim AS build
WORKDIR /kinu
COPY package.json package-lock.json ./
RUN npm ci
COPY . .
RUN npm run build && npm prune --omit=dev

FROM node:22-slim
ENV HOST=0.0.0.0 PORT=8080 KINU_DATA_DIR=/var/lib/kinu
WORKDIR /kinu
COPY --from=build /kinu/package.json /kinu/LICENSE ./
COPY --from=build /kinu/node_modules ./node_modules
COPY --from=build /kinu/.tools ./.tools
COPY --from=build /kinu/prisma ./prisma
COPY --from=build /kinu/dist ./dist
COPY --from=build /kinu/admin/dist ./admin/dist
COPY --from=build /kinu/seed/reference ./seed/reference
RUN mkdir -p /var/lib/kinu && chown node:node /var/lib/kinu
USER node
EXPOSE 8080
CMD ["node", "dist/server/main.js"]
