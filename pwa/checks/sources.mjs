// The app's sources name one another without an ending, as the bundler has it; node wants one.
import { registerHooks } from "node:module";

registerHooks({
  resolve: (name, context, next) => next(/^\.{1,2}\/[a-z_/]+$/.test(name) ? `${name}.ts` : name, context),
});
