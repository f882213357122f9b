// Starts the view: theme, everything the rooms share, then the shell with its rooms.
import { mount } from 'svelte';
import './theme/index.css';
import { connectServices } from '../app/services/client/client.ts';
import App from './shell/App.svelte';
import { composeWorld } from './shell/compose.ts';

const target = document.querySelector('#app');
if (!target) throw new Error('index.html has no #app to mount the view in');
mount(App, { target, props: { world: composeWorld(connectServices(), localStorage) } });
