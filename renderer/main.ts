// Starts the view: theme, then the shell with its rooms.
import { mount } from 'svelte';
import './theme/index.css';
import App from './shell/App.svelte';

const target = document.querySelector('#app');
if (!target) throw new Error('index.html has no #app to mount the view in');
mount(App, { target });
